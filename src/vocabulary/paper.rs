//! Paper for labels: how large one is, and what it is printed on.
//!
//! Lengths are whole tenths of a millimetre. What stands on a label is not
//! decided here.

use super::words::straighten;

/// Width and height in tenths of a millimetre.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Area {
    /// From left to right.
    pub width: u32,
    /// From top to bottom.
    pub height: u32,
}

/// What labels are printed on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Paper {
    /// One label. On tape its height is that of the tape.
    pub label: Area,
    /// The sheet.
    pub sheet: Area,
    /// Where the first label begins; `None` for labels centred on the sheet.
    pub margin: Option<Area>,
    /// Between two labels, across and down.
    pub gap: Area,
    /// The width of continuous tape, where it takes the place of sheets.
    pub tape: Option<u32>,
}

impl Default for Paper {
    /// 24 labels on a sheet of A4 (ISO 216).
    fn default() -> Paper {
        Paper {
            label: Area {
                width: 700,
                height: 370,
            },
            sheet: Area {
                width: 2100,
                height: 2970,
            },
            margin: None,
            gap: Area {
                width: 0,
                height: 0,
            },
            tape: None,
        }
    }
}

/// The smallest label on which words can be read.
pub const SMALLEST: Area = Area {
    width: 250,
    height: 90,
};

/// The longest side anyone prints on.
const LONGEST: u32 = 20_000;

impl Paper {
    /// One label as it is printed.
    #[must_use]
    pub fn one(&self) -> Area {
        match self.tape {
            Some(width) => Area {
                width: self.label.width,
                height: width,
            },
            None => self.label,
        }
    }

    /// How many labels stand beside and below each other on a sheet.
    #[must_use]
    pub fn grid(&self) -> (u32, u32) {
        let left = self.margin.map_or(0, |margin| margin.width);
        let top = self.margin.map_or(0, |margin| margin.height);
        let fit = |room: u32, one: u32, gap: u32| {
            (room.saturating_add(gap)) / one.saturating_add(gap).max(1)
        };
        (
            fit(
                self.sheet.width.saturating_sub(left),
                self.label.width,
                self.gap.width,
            ),
            fit(
                self.sheet.height.saturating_sub(top),
                self.label.height,
                self.gap.height,
            ),
        )
    }

    /// Where the label in this column and row of the sheet begins.
    #[must_use]
    pub fn place(&self, column: u32, row: u32) -> (u32, u32) {
        let (columns, rows) = self.grid();
        let taken = |count: u32, one: u32, gap: u32| count * one + count.saturating_sub(1) * gap;
        let centred = Area {
            width: self.sheet.width.saturating_sub(taken(
                columns,
                self.label.width,
                self.gap.width,
            )) / 2,
            height: self.sheet.height.saturating_sub(taken(
                rows,
                self.label.height,
                self.gap.height,
            )) / 2,
        };
        let first = self.margin.unwrap_or(centred);
        (
            first.width + column * (self.label.width + self.gap.width),
            first.height + row * (self.label.height + self.gap.height),
        )
    }

    /// Sets what is called `size`, `sheet`, `margin`, `gap` or `tape`.
    ///
    /// # Errors
    /// What to write instead, when the value is none, or nothing is called so.
    pub fn set(&mut self, key: &str, value: &str) -> Result<(), &'static str> {
        const AREA: &str = "write two lengths in millimetres: 70x37";
        let area = || read_area(value).ok_or(AREA);
        match key {
            "size" => self.label = area()?,
            "sheet" => self.sheet = area()?,
            "margin" => self.margin = Some(area()?),
            "gap" => self.gap = area()?,
            "tape" => {
                let width = read_length(value);
                self.tape = Some(width.ok_or("write its width in millimetres: 24")?);
            }
            _ => return Err("labels have: size, sheet, margin, gap, tape"),
        }
        Ok(())
    }

    /// What is wrong with these sizes, if anything is.
    #[must_use]
    pub fn refusal(&self) -> Option<String> {
        let one = self.one();
        let small = one.width < SMALLEST.width || one.height < SMALLEST.height;
        if small {
            return Some(format!(
                "a label of {} by {} mm is too small to be read; the smallest is {} by {} mm",
                millimetres(one.width),
                millimetres(one.height),
                millimetres(SMALLEST.width),
                millimetres(SMALLEST.height)
            ));
        }
        let (columns, rows) = self.grid();
        (self.tape.is_none() && (columns == 0 || rows == 0)).then(|| {
            format!(
                "no label of {} by {} mm fits on a sheet of {} by {} mm",
                millimetres(one.width),
                millimetres(one.height),
                millimetres(self.sheet.width),
                millimetres(self.sheet.height)
            )
        })
    }
}

/// Reads "70x37", "70 × 37.5 mm".
#[must_use]
pub fn read_area(text: &str) -> Option<Area> {
    let plain = straighten(text.trim()).to_lowercase();
    let (width, height) = plain.split_once('x')?;
    Some(Area {
        width: read_length(width)?,
        height: read_length(height)?,
    })
}

/// Reads "24", "23.5 mm", "23,5".
#[must_use]
pub fn read_length(text: &str) -> Option<u32> {
    let plain = straighten(text.trim()).to_lowercase().replace(',', ".");
    let number = plain.strip_suffix("mm").unwrap_or(&plain).trim_end();
    let (whole, tenth) = number.split_once('.').unwrap_or((number, "0"));
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    if !digits(whole) || !digits(tenth) || tenth.len() > 1 {
        return None;
    }
    let tenths = whole
        .parse::<u32>()
        .ok()?
        .checked_mul(10)?
        .checked_add(tenth.parse().ok()?)?;
    (tenths <= LONGEST).then_some(tenths)
}

/// Tenths of a millimetre as millimetres: "70", "37.5".
#[must_use]
pub fn millimetres(tenths: u32) -> String {
    match tenths % 10 {
        0 => (tenths / 10).to_string(),
        tenth => format!("{}.{tenth}", tenths / 10),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sizes_as_people_write_them() {
        for text in ["70x37", "70 x 37 mm", "70mm×37mm", "70,0 X 37.0"] {
            assert_eq!(read_area(text), Some(Paper::default().label), "{text}");
        }
        for text in [
            "70", "x", "70x", "-3x4", "70x37x2", "1e9x4", "70.25x3", "99999x1",
        ] {
            assert_eq!(read_area(text), None, "{text}");
        }
    }

    #[test]
    fn a_sheet_holds_as_many_labels_as_fit() {
        let paper = Paper::default();
        assert_eq!(paper.grid(), (3, 8));
        assert_eq!(paper.place(0, 0), (0, 5));
        assert_eq!(paper.place(2, 7), (1400, 2595));
        let with_gap = Paper {
            label: Area {
                width: 635,
                height: 381,
            },
            margin: Some(Area {
                width: 72,
                height: 150,
            }),
            gap: Area {
                width: 25,
                height: 0,
            },
            ..paper
        };
        assert_eq!(with_gap.grid(), (3, 7));
        assert!(with_gap.refusal().is_none());
        let huge = Paper {
            label: Area {
                width: 3000,
                height: 370,
            },
            ..paper
        };
        assert!(huge.refusal().is_some());
    }
}
