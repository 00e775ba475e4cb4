//! File names that every system can hold.

use jiff::civil::Date;

use crate::vocabulary::words::fold;

/// The longest slug; long enough for a title, short enough for a listing.
const LONGEST: usize = 48;

/// A title as part of a file name: lower case letters of the alphabet, digits
/// and hyphens. Never empty.
#[must_use]
pub fn slug(title: &str) -> String {
    let mut slug = String::new();
    for word in fold(&title.replace('ß', "ss"))
        .split(|c: char| !c.is_ascii_alphanumeric())
        .filter(|word| !word.is_empty())
    {
        if !slug.is_empty() {
            if slug.len() + 1 + word.len() > LONGEST {
                break;
            }
            slug.push('-');
        }
        slug.push_str(word);
        slug.truncate(LONGEST);
    }
    if slug.is_empty() {
        slug.push_str("entry");
    }
    slug
}

/// Where an entry of that day goes: `entries/2026/2026-03-14-slug.md`, or with
/// a number for the second and later entries of a day.
#[must_use]
pub fn entry_path(date: Date, number: u32, slug: &str) -> String {
    let year = date.year();
    if number > 1 {
        format!("entries/{year:04}/{date}-{number}-{slug}.md")
    } else {
        format!("entries/{year:04}/{date}-{slug}.md")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn slugs_are_safe_on_every_system() {
        for (title, safe) in [
            ("The tank comes down", "the-tank-comes-down"),
            ("a:b / c\\d?", "a-b-c-d"),
            ("Kühler & Öl, heiß", "kuhler-ol-heiss"),
            ("...", "entry"),
            ("日本", "entry"),
        ] {
            assert_eq!(slug(title), safe);
        }
        assert!(slug(&"long ".repeat(40)).len() <= LONGEST);
        assert!(slug(&"x".repeat(400)).len() <= LONGEST);
    }

    #[test]
    fn entries_lie_in_their_year() {
        let date = jiff::civil::date(2026, 3, 14);
        assert_eq!(
            entry_path(date, 1, "tank"),
            "entries/2026/2026-03-14-tank.md"
        );
        assert_eq!(
            entry_path(date, 2, "tank"),
            "entries/2026/2026-03-14-2-tank.md"
        );
    }
}
