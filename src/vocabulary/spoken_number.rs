//! Numbers as people say them in words: "two", "twenty-five", "a hundred".
//!
//! Knows no digits, no fractions and no units.

/// The number that a word in small letters means, up to ninety.
#[must_use]
pub fn number_word(word: &str) -> Option<u32> {
    const SMALL: [&str; 20] = [
        "zero",
        "one",
        "two",
        "three",
        "four",
        "five",
        "six",
        "seven",
        "eight",
        "nine",
        "ten",
        "eleven",
        "twelve",
        "thirteen",
        "fourteen",
        "fifteen",
        "sixteen",
        "seventeen",
        "eighteen",
        "nineteen",
    ];
    const TENS: [&str; 8] = [
        "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety",
    ];
    let at = |list: &[&str]| list.iter().position(|known| *known == word);
    if let Some(small) = at(&SMALL) {
        return u32::try_from(small).ok();
    }
    if let Some(ten) = at(&TENS) {
        return u32::try_from(ten * 10 + 20).ok();
    }
    if word == "fourty" {
        return Some(40);
    }
    // "twenty-five"
    let (tens, ones) = word.split_once('-')?;
    let ten = TENS.iter().position(|known| *known == tens)?;
    let one = SMALL[..10].iter().position(|known| *known == ones)?;
    u32::try_from(ten * 10 + 20 + one).ok()
}

/// The number that words in small letters begin with, and how many words it
/// takes: "two hundred and fifty", "twenty five", "a thousand".
#[must_use]
pub fn spoken_number(words: &[&str]) -> Option<(u32, usize)> {
    let (mut total, mut used) = match words.first()? {
        &"a" | &"an" => match words.get(1) {
            Some(&("hundred" | "thousand")) => (1, 1),
            Some(_) | None => return None,
        },
        word => (number_word(word)?, 1),
    };
    if total >= 20
        && total % 10 == 0
        && let Some(one) = words.get(used).and_then(|word| number_word(word))
        && (1..10).contains(&one)
    {
        total += one;
        used += 1;
    }
    for (word, scale) in [("hundred", 100), ("thousand", 1000)] {
        if words.get(used) != Some(&word) {
            continue;
        }
        used += 1;
        total *= scale;
        let joined = usize::from(words.get(used) == Some(&"and"));
        if let Some((rest, more)) = words.get(used + joined..).and_then(spoken_number)
            && rest < scale
        {
            total += rest;
            used += joined + more;
        }
        break;
    }
    Some((total, used))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_in_words() {
        for (text, number, used) in [
            ("two nuts", 2, 1),
            ("twenty-five euros", 25, 1),
            ("twenty five euros", 25, 2),
            ("a hundred quid", 100, 2),
            ("two hundred and fifty euros", 250, 4),
            ("one thousand two hundred", 1200, 4),
            ("twelve and a half", 12, 1),
        ] {
            let words: Vec<&str> = text.split(' ').collect();
            assert_eq!(spoken_number(&words), Some((number, used)), "{text}");
        }
        for none in ["a nut", "some", "an hour", "tennis", ""] {
            let words: Vec<&str> = none.split(' ').collect();
            assert_eq!(spoken_number(&words), None, "{none}");
        }
    }
}
