//! When a picture was taken, as its camera wrote it down.
//!
//! No zone is ever supplied here: what the file does not say stays unknown.

use std::io::{BufRead, Seek};

use exif::{Exif, In, Reader, Tag, Value};
use jiff::civil::{Date, Time};
use jiff::tz::Offset;

/// When something was taken, by the clock of its camera.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Taken {
    /// The day.
    pub date: Date,
    /// The time of day; `None` if it is none that a clock shows.
    pub time: Option<Time>,
    /// How far that clock was from UTC, if the file says it.
    pub offset: Option<Offset>,
    /// What says so.
    pub source: TakenSource,
}

/// What says when something was taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TakenSource {
    /// The time of the shot.
    Shot,
    /// The time at which the picture was digitized.
    Digitized,
    /// The time at which the picture was last changed.
    Changed,
    /// The creation date of a clip, with its offset.
    ClipDate,
    /// The header of a clip: UTC by the standard, local in many cameras.
    ClipHeader,
    /// The file's own time; copying may have changed it.
    FileTime,
}

/// When a picture was taken; `None` if nothing in it says so.
pub fn picture_taken(picture: &mut (impl BufRead + Seek)) -> Option<Taken> {
    let exif = Reader::new()
        .continue_on_error(true)
        .read_from_container(picture)
        .or_else(|error| error.distill_partial_result(|_| {}))
        .ok()?;
    let tags = [
        (
            Tag::DateTimeOriginal,
            Tag::OffsetTimeOriginal,
            TakenSource::Shot,
        ),
        (
            Tag::DateTimeDigitized,
            Tag::OffsetTimeDigitized,
            TakenSource::Digitized,
        ),
        (Tag::DateTime, Tag::OffsetTime, TakenSource::Changed),
    ];
    tags.into_iter().find_map(|(tag, offset_tag, source)| {
        let (date, time) = moment(&text(&exif, tag)?)?;
        let said = text(&exif, offset_tag).and_then(|text| offset(&text));
        let by_satellite = || offset_by_satellite(&exif, date, time?);
        Some(Taken {
            date,
            time,
            offset: said.or_else(by_satellite),
            source,
        })
    })
}

fn text(exif: &Exif, tag: Tag) -> Option<String> {
    let Value::Ascii(lines) = &exif.get_field(tag, In::PRIMARY)?.value else {
        return None;
    };
    Some(String::from_utf8_lossy(lines.first()?).into_owned())
}

/// "2026:03:14 21:19:26". An impossible day is none, an impossible time leaves the day.
fn moment(text: &str) -> Option<(Date, Option<Time>)> {
    let mut numbers = text.split([':', '-', '/', ' ', 'T']);
    let mut number = || numbers.next()?.trim_end_matches('\0').parse::<i16>().ok();
    let (year, month, day) = (number()?, number()?, number()?);
    let date = Date::new(year, month.try_into().ok()?, day.try_into().ok()?).ok()?;
    let mut part = || i8::try_from(number()?).ok();
    let time = (|| Time::new(part()?, part()?, part()?, 0).ok())();
    // Photography began later than year 0, and cameras that do not know say 0000.
    (year >= 1826).then_some((date, time))
}

/// "+01:00".
fn offset(text: &str) -> Option<Offset> {
    let text = text.trim_matches(['\0', ' ']);
    if text == "Z" {
        return Some(Offset::UTC);
    }
    let (hours, minutes) = text.get(1..)?.split_once(':')?;
    let (hours, minutes) = (hours.parse::<i32>().ok()?, minutes.parse::<i32>().ok()?);
    let sign = match text.get(..1)? {
        "+" => 1,
        "-" => -1,
        _ => return None,
    };
    bounded((hours * 60 + minutes) * sign).filter(|_| (0..60).contains(&minutes) && hours >= 0)
}

/// The local time less the time of the satellites, to a quarter of an hour.
fn offset_by_satellite(exif: &Exif, date: Date, time: Time) -> Option<Offset> {
    let (day, _) = moment(&text(exif, Tag::GPSDateStamp)?)?;
    let Value::Rational(parts) = &exif.get_field(Tag::GPSTimeStamp, In::PRIMARY)?.value else {
        return None;
    };
    let whole = |at: usize| {
        let part = parts.get(at)?;
        i8::try_from(part.num.checked_div(part.denom)?).ok()
    };
    let utc = day.to_datetime(Time::new(whole(0)?, whole(1)?, whole(2)?, 0).ok()?);
    let seconds = date.to_datetime(time).duration_since(utc).as_secs();
    let minutes = i32::try_from(seconds).ok()?.div_euclid(60);
    let quarters = (minutes + 7).div_euclid(15) * 15;
    bounded(quarters).filter(|_| (minutes - quarters).abs() <= 5)
}

/// An offset of so many minutes, if there is such a place.
fn bounded(minutes: i32) -> Option<Offset> {
    Offset::from_seconds(minutes * 60)
        .ok()
        .filter(|_| minutes.abs() <= 14 * 60)
}

#[cfg(test)]
mod tests {
    use jiff::civil::{date, time};

    use super::*;

    #[test]
    fn days_and_times_are_checked() {
        let day = date(2026, 3, 14);
        for (text, read) in [
            (
                "2026:03:14 21:19:26",
                Some((day, Some(time(21, 19, 26, 0)))),
            ),
            (
                "2026-03-14T21:19:26",
                Some((day, Some(time(21, 19, 26, 0)))),
            ),
            (
                "2026:03:14 21:19:26\0",
                Some((day, Some(time(21, 19, 26, 0)))),
            ),
            ("2026:03:14 25:61:00", Some((day, None))),
            ("2026:03:14 10:20:60", Some((day, None))),
            ("2026:03:14", Some((day, None))),
            ("0000:00:00 00:00:00", None),
            ("2026:02:30 10:00:00", None),
            ("    :  :     :  :  ", None),
            ("", None),
        ] {
            assert_eq!(moment(text), read, "{text}");
        }
    }

    #[test]
    fn offsets_are_checked() {
        for (text, minutes) in [
            ("+01:00", Some(60)),
            ("-03:30\0", Some(-210)),
            ("Z", Some(0)),
            ("+99:00", None),
            ("+01:75", None),
            ("01:00", None),
            ("   :  ", None),
        ] {
            let read = offset(text).map(|offset| offset.seconds() / 60);
            assert_eq!(read, minutes, "{text}");
        }
    }
}
