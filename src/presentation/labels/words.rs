//! Lists on a label: as many items as fit its lines, and how many do not.

use crate::presentation::letters::{cut, ems, lines};

/// Items in at most `lines` lines; the last one counts those that do not fit.
#[must_use]
pub fn list(items: &[String], width: f32, most: usize) -> Vec<String> {
    // Nobody prints more than this on a label, and each try is measured.
    const MOST_ITEMS: usize = 60;
    if items.is_empty() || most == 0 {
        return Vec::new();
    }
    let all = items.len();
    for shown in (1..=all.min(MOST_ITEMS)).rev() {
        let mut words: Vec<String> = items.iter().take(shown).cloned().collect();
        if shown < all {
            words.push(super::more(all - shown));
        }
        let lines = lines(&words.join("; "), width);
        if lines.len() <= most {
            return lines;
        }
    }
    // Not even one of them: its beginning says more than a count does.
    let more = match all {
        1 => String::new(),
        _ => format!(" and {} more", all - 1),
    };
    let mut kept = lines(&items[0], width);
    kept.truncate(most);
    if let Some(last) = kept.last_mut() {
        let room = width - ems(&more, false);
        *last = format!("{}{more}", cut(&format!("{last}……"), room, false));
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_does_not_fit_is_counted() {
        let items: Vec<String> = (1..30).map(|n| format!("{n} nut 7/16-20")).collect();
        let shown = list(&items, 30.0, 3);
        assert!(shown.len() <= 3);
        let text = shown.join(" ");
        let kept = text.matches("nut").count();
        assert!(kept > 2);
        assert!(text.ends_with(&super::super::more(29 - kept)), "{text}");
        assert!(shown.iter().all(|line| ems(line, false) <= 30.0));
    }

    #[test]
    fn of_an_item_too_long_its_beginning_is_shown() {
        let items = vec!["bracket of the long row".repeat(9); 3];
        let shown = list(&items, 20.0, 1);
        assert_eq!(shown.len(), 1);
        assert!(shown[0].starts_with("bracket"), "{shown:?}");
        assert!(shown[0].ends_with("… and 2 more"), "{shown:?}");
        assert!(ems(&shown[0], false) <= 20.0);
    }
}
