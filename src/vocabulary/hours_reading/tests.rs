//! Durations as people write them, and those that are asked about.

use super::*;

#[test]
fn durations_as_people_write_them() {
    for (text, minutes) in [
        ("3:15", 195),
        ("2 hrs morning, 1.5 after lunch", 210),
        ("morning 2, afternoon 3", 300),
        ("hour and a half", 90),
        ("an hour and 20", 80),
        ("1.5", 90),
        ("2", 120),
        ("0.25", 15),
        ("1.33", 80),
        ("½", 30),
        ("1½", 90),
        ("2 h", 120),
        ("45 min", 45),
        ("1h30", 90),
        ("3 h minus 20 min", 160),
        ("2h less half an hour", 90),
        ("1:30h", 90),
        ("3h 20m", 200),
        ("2,5", 150),
        ("half an hour", 30),
        ("a half hour", 30),
        ("1/2 hour", 30),
        ("three quarters of an hour", 45),
        ("quarter of an hour", 15),
        ("an hour and a half", 90),
        ("one and a half hours", 90),
        ("2 and a half hrs", 150),
        ("1 hour 30", 90),
        ("2h + 45min", 165),
        ("1h, 45 min", 105),
        ("two hours and ten minutes", 130),
        ("1h 15'", 75),
        ("3 Std.", 180),
        ("2 x 45 min", 90),
        ("7-9pm", 120),
        ("7pm till 9.30", 150),
        ("from 7 to 9.30", 150),
        ("9:30 - 12:15", 165),
        ("10:30-1:15", 165),
        ("22:00-01:00", 180),
        ("10pm to 1am", 180),
        ("11-1pm", 120),
        ("9 till noon", 180),
        ("10:30-12:00, 13:00-15:30", 240),
        ("7.30-9.00", 90),
        ("2 huors", 120),
        ("3h½", 210),
        ("two and three quarter hours", 165),
        ("from seven to nine", 120),
        ("18h00-20h30", 150),
        ("1.5 + 2", 210),
        ("45 minuets", 45),
        ("10 till 1, less 20 min", 160),
        ("four hours bar ten minutes", 230),
        ("3h (minus 20 min)", 160),
        ("since 8:30 until 12:15", 225),
        ("started 9, finished 12", 180),
        ("start 9:00 end 12:30", 210),
        ("from 14h to 17h30", 210),
        ("14h-17h", 180),
        ("0830-1215", 225),
        ("1400 to 1730", 210),
        ("ten past two til half past four", 140),
        ("half past two till six", 210),
        ("half past 9 to 11", 90),
        ("quarter to nine till noon", 195),
        ("quarter past 7 - 9pm", 105),
        ("20 past two till ten to four", 90),
        ("from ten to two", 240),
        ("9 till half past eleven", 150),
        ("worked from 7 to 9.30", 150),
        ("total: 3 h", 180),
        ("6h total (me 4, my cousin 2)", 360),
        ("3 hours altogether", 180),
        ("2h30 all in", 150),
    ] {
        assert_eq!(
            read_hours(text),
            ReadHours::Exactly(Minutes(minutes)),
            "{text}"
        );
    }
}

#[test]
fn durations_that_are_asked_about() {
    for (text, minutes) in [
        ("about 3 hours", 180),
        ("3 hours in the shed", 180),
        ("2h?", 120),
        ("a couple of hours", 120),
        ("4ish", 240),
        ("4-ish hours", 240),
        ("10 till 1, less 20 min for a brew", 160),
        ("2 till six, with tea", 240),
        ("from about 7 to 9.30", 150),
        ("say 3 hours", 180),
        ("reckon two hours", 120),
    ] {
        assert_eq!(
            read_hours(text),
            ReadHours::About(Minutes(minutes)),
            "{text}"
        );
    }
    for (text, one, other) in [
        ("1.30", 90, 78),
        ("1,45 h", 105, 87),
        ("2 hrs x 2 people", 120, 240),
        ("3 hours each", 180, 360),
        ("half three till five", 90, 150),
        ("ten past two til half four", 140, 80),
        ("3h without the half hour for lunch", 150, 180),
        ("4 hours not counting 20 min tea", 220, 240),
        ("3 hours excluding 15 minutes", 165, 180),
    ] {
        assert_eq!(
            read_hours(text),
            ReadHours::Either(Minutes(one), Minutes(other)),
            "{text}"
        );
    }
    for text in [
        "",
        "1:75",
        "1:5",
        "-2",
        "a while",
        "1.5.2",
        "9999999",
        "all evening",
        "2-3 hours",
        "2 to 3",
        "2 or 3 hours",
        "7-9",
        "a few hours",
        "two evenings",
        "1:3O",
        "3 hours minus 20",
        "2 hours per day",
        "9-5 less an hour",
        "6h total (me 4, my cousin 1)",
        "8h-10h",
        "ten to two",
        "3h less 20",
        "a good while",
        "half the day",
        "half",
    ] {
        let read = read_hours(text);
        assert!(
            read == ReadHours::Unread || text == "half",
            "{text}: {read:?}"
        );
    }
}

proptest::proptest! {
    #[test]
    fn any_text_can_be_read(text in "([0-9]{1,7}|[.:,/+' -]|h|min|and|half|to|pm|from|\\PC){0,9}") {
        let _ = read_hours(&text);
    }
}
