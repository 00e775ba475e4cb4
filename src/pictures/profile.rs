//! A colour profile (ICC.1, ISO 15076-1) without the device it was measured from.
//!
//! A monitor's own profile may name its maker, its model and its serial number. What a
//! viewer computes colours with is kept, all else is left out; colours stay as they were.

/// The longest profile that is kept; those of presses have about a megabyte.
pub(super) const LONGEST: usize = 4 << 20;

const HEADER: usize = 128;

/// What colours are computed with (ICC.1:2022, section 9.2).
const KEPT: [&[u8; 4]; 25] = [
    b"wtpt", b"bkpt", b"chad", b"rXYZ", b"gXYZ", b"bXYZ", b"rTRC", b"gTRC", b"bTRC", b"kTRC",
    b"A2B0", b"A2B1", b"A2B2", b"B2A0", b"B2A1", b"B2A2", b"D2B0", b"D2B1", b"D2B2", b"D2B3",
    b"B2D0", b"B2D1", b"B2D2", b"B2D3", b"cicp",
];

/// The profile with what a viewer needs; `None` if it is none, is damaged, or is for
/// something else than showing a picture.
pub(super) fn cleaned(profile: &[u8]) -> Option<Vec<u8>> {
    let length = usize::try_from(number(profile, 0)?).ok()?;
    let profile = profile.get(..length)?;
    let is_for_pictures = matches!(profile.get(12..16)?, b"scnr" | b"mntr" | b"prtr" | b"spac");
    if profile.get(36..40)? != b"acsp" || !is_for_pictures || length > LONGEST {
        return None;
    }
    let mut tags: Vec<([u8; 4], Vec<u8>)> = Vec::new();
    let count = usize::try_from(number(profile, HEADER)?).ok()?;
    let rows = profile.get(HEADER + 4..)?.chunks_exact(12);
    for row in rows.take(count) {
        let name: [u8; 4] = *row.first_chunk()?;
        let is_new = tags.iter().all(|(known, _)| *known != name);
        if is_new && KEPT.contains(&&name) {
            let start = usize::try_from(number(row, 4)?).ok()?;
            let length = usize::try_from(number(row, 8)?).ok()?;
            let element = profile.get(start..start.checked_add(length)?)?;
            tags.push((name, numbers_alone(element)?));
        }
    }
    // A name and a licence must be there; none of them is anybody's.
    let (version, [desc, cprt]) = (*profile.get(8)?, [*b"desc", *b"cprt"]);
    let is_new_form = version >= 4;
    tags.push((
        desc,
        if is_new_form {
            localized()
        } else {
            described()
        },
    ));
    tags.push((cprt, if is_new_form { localized() } else { plain() }));
    Some(written(profile, &tags))
}

/// An element without what may follow its numbers; `None` if it is of no kind that holds
/// nothing but numbers.
fn numbers_alone(element: &[u8]) -> Option<Vec<u8>> {
    let length = match element.first_chunk::<4>()? {
        b"XYZ " => 20,
        b"sf32" => 8 + 36,
        b"cicp" => 12,
        b"curv" => 12 + usize::try_from(number(element, 8)?).ok()?.checked_mul(2)?,
        b"para" => {
            let kind: [u8; 2] = *element.get(8..)?.first_chunk()?;
            let numbers = [1, 3, 4, 5, 7];
            12 + numbers.get(usize::from(u16::from_be_bytes(kind)))? * 4
        }
        // Tables with curves around them.
        b"mft1" | b"mft2" | b"mAB " | b"mBA " | b"mpet" => element.len(),
        _ => return None,
    };
    element.get(..length).map(<[u8]>::to_vec)
}

/// A profile of these elements, with the header of another but for its day, makers,
/// models and sum.
fn written(profile: &[u8], tags: &[([u8; 4], Vec<u8>)]) -> Vec<u8> {
    let mut header = [0; HEADER];
    // Version, class, colours; mark; intent and light.
    for kept in [8..24, 36..40, 64..80] {
        if let Some(from) = profile.get(kept.clone()) {
            header[kept].copy_from_slice(from);
        }
    }
    let mut start = HEADER + 4 + tags.len() * 12;
    let mut table = Vec::new();
    let mut body = Vec::new();
    for (name, element) in tags {
        table.extend(name);
        table.extend(as_number(start));
        table.extend(as_number(element.len()));
        body.extend(element);
        body.resize(body.len().next_multiple_of(4), 0);
        start = HEADER + 4 + tags.len() * 12 + body.len();
    }
    header[..4].copy_from_slice(&as_number(start));
    [&header[..], &as_number(tags.len()), &table, &body].concat()
}

/// What stands for the name and the licence.
const NAME: &str = "colours";

/// A text since version 4.
fn localized() -> Vec<u8> {
    let letters: Vec<u8> = NAME.encode_utf16().flat_map(u16::to_be_bytes).collect();
    let head = [1, 12].map(|number: u32| number.to_be_bytes()).concat();
    let place = [as_number(letters.len()), as_number(28)].concat();
    [b"mluc\0\0\0\0", &head[..], b"enUS", &place, &letters].concat()
}

/// A name before version 4.
fn described() -> Vec<u8> {
    let length = as_number(NAME.len() + 1);
    [
        b"desc\0\0\0\0",
        &length[..],
        NAME.as_bytes(),
        &[0; 1 + 4 + 4 + 2 + 1 + 67],
    ]
    .concat()
}

/// A text before version 4.
fn plain() -> Vec<u8> {
    [b"text\0\0\0\0", NAME.as_bytes(), b"\0"].concat()
}

fn as_number(number: usize) -> [u8; 4] {
    u32::try_from(number).unwrap_or(u32::MAX).to_be_bytes()
}

fn number(bytes: &[u8], at: usize) -> Option<u32> {
    Some(u32::from_be_bytes(*bytes.get(at..)?.first_chunk()?))
}

#[cfg(test)]
pub(super) mod tests;
