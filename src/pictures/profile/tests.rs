//! Profiles made by hand: what is in them, and what is left of it.

use super::*;

/// A profile of these elements, from a device with a name.
fn profile(version: u8, class: &[u8; 4], tags: &[(&[u8; 4], &[u8])]) -> Vec<u8> {
    let mut header = [0; HEADER];
    header[4..8].copy_from_slice(b"cmm1");
    header[8] = version;
    header[12..16].copy_from_slice(class);
    header[16..24].copy_from_slice(b"RGB XYZ ");
    header[24..36].copy_from_slice(b"day and time");
    header[36..40].copy_from_slice(b"acsp");
    header[48..56].copy_from_slice(b"makemodl");
    header[80..100].copy_from_slice(b"whosecretsum12345678");
    let (mut table, mut body) = (as_number(tags.len()).to_vec(), Vec::new());
    for (name, element) in tags {
        table.extend(*name);
        table.extend(as_number(HEADER + 4 + tags.len() * 12 + body.len()));
        table.extend(as_number(element.len()));
        body.extend(*element);
    }
    let mut whole = [&header[..], &table, &body].concat();
    let length = as_number(whole.len());
    whole[..4].copy_from_slice(&length);
    whole
}

const XYZ: &[u8] = b"XYZ \0\0\0\0\0\0\x6f\xa2\0\0\x38\xf5\0\0\x03\x90";
const CURVE: &[u8] = b"curv\0\0\0\0\0\0\0\x01\x02\x33";
const NAMED: &[u8] = b"text\0\0\0\0secret";

/// A small profile, as it is published.
pub fn small() -> Vec<u8> {
    cleaned(&with_device()).expect("a profile")
}

/// The same as its device made it.
pub fn with_device() -> Vec<u8> {
    profile(2, b"mntr", &[(b"mmod", NAMED), (b"rXYZ", XYZ)])
}

/// The elements of a profile, by name.
fn tags(profile: &[u8]) -> Vec<(String, Vec<u8>)> {
    let count = number(profile, HEADER).expect("a count");
    let rows = profile[HEADER + 4..].chunks_exact(12);
    rows.take(count.try_into().expect("few"))
        .map(|row| {
            let start = number(row, 4).expect("a place") as usize;
            let length = number(row, 8).expect("a length") as usize;
            let name = String::from_utf8_lossy(&row[..4]).into_owned();
            (name, profile[start..start + length].to_vec())
        })
        .collect()
}

#[test]
fn colours_stay_and_devices_go() {
    let longer = [XYZ, b"secret"].concat();
    for version in [2, 4] {
        let given = profile(
            version,
            b"mntr",
            &[
                (b"desc", NAMED),
                (b"dscm", NAMED),
                (b"mmod", NAMED),
                (b"vcgt", NAMED),
                (b"rXYZ", &longer),
                (b"rTRC", CURVE),
                (b"rTRC", NAMED),
                (b"meta", NAMED),
            ],
        );
        let clean = cleaned(&given).expect("a profile");
        let left = tags(&clean);
        let names: Vec<&str> = left.iter().map(|(name, _)| name.as_str()).collect();
        assert_eq!(names, ["rXYZ", "rTRC", "desc", "cprt"]);
        assert_eq!((&left[0].1[..], &left[1].1[..]), (XYZ, CURVE));
        assert_eq!(number(&clean, 0), u32::try_from(clean.len()).ok());
        let said = String::from_utf8_lossy(&clean);
        for word in ["secret", "make", "modl", "day", "cmm1", "1234"] {
            assert!(!said.contains(word), "{word}: {said}");
        }
        assert_eq!(clean[8..24], given[8..24]);
        assert_eq!(cleaned(&clean), Some(clean.clone()), "once is enough");
        let behind = [&given[..], b"secret"].concat();
        assert_eq!(cleaned(&behind), Some(clean));
    }
}

#[test]
fn what_is_no_profile_is_left_out() {
    let tag: (&[u8; 4], &[u8]) = (b"rXYZ", XYZ);
    let whole = profile(2, b"mntr", &[tag]);
    assert!(cleaned(&whole).is_some());
    for end in 0..whole.len() {
        assert_eq!(cleaned(&whole[..end]), None, "cut at {end}");
    }
    for (name, odd) in [
        ("for a device alone", profile(2, b"link", &[tag])),
        (
            "a text as colours",
            profile(2, b"mntr", &[(b"rXYZ", NAMED)]),
        ),
        (
            "a curve cut short",
            profile(2, b"mntr", &[(b"rTRC", &CURVE[..13])]),
        ),
        (
            "a kind of curve that is none",
            profile(4, b"mntr", &[(b"rTRC", b"para\0\0\0\0\0\x09\0\0")]),
        ),
    ] {
        assert_eq!(cleaned(&odd), None, "{name}");
    }
    let mut far = whole;
    far[HEADER + 4 + 4..HEADER + 4 + 8].copy_from_slice(&u32::MAX.to_be_bytes());
    assert_eq!(cleaned(&far), None);
}
