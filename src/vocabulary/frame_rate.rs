//! How many frames a camera takes in a second, exactly.
//!
//! What is filmed is not known here.

/// A frame rate as a fraction: 25/1, 30000/1001.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FrameRate {
    /// Frames in `seconds` seconds.
    pub frames: u32,
    /// Seconds.
    pub seconds: u32,
}

impl FrameRate {
    /// 25 frames a second.
    pub const USUAL: FrameRate = FrameRate {
        frames: 25,
        seconds: 1,
    };

    /// Reads "25", "29.97", "30000/1001"; `None` for a rate that edit lists do not
    /// have.
    #[must_use]
    pub fn read(text: &str) -> Option<FrameRate> {
        let (frames, seconds) = match text.trim().trim_end_matches("fps").trim() {
            "24" => (24, 1),
            "25" => (25, 1),
            "30" => (30, 1),
            "48" => (48, 1),
            "50" => (50, 1),
            "60" => (60, 1),
            "23.976" | "23.98" | "24000/1001" => (24_000, 1001),
            "29.97" | "30000/1001" => (30_000, 1001),
            "59.94" | "60000/1001" => (60_000, 1001),
            _ => return None,
        };
        Some(FrameRate { frames, seconds })
    }

    /// The frames of a second as time codes count them.
    #[must_use]
    pub const fn counted(self) -> u64 {
        self.frames.div_ceil(self.seconds) as u64
    }

    /// The frame shown after this many seconds.
    #[must_use]
    pub fn at(self, seconds: u64) -> u64 {
        let frames = seconds.saturating_mul(self.frames.into());
        frames / u64::from(self.seconds)
    }

    /// A frame as a time code without dropped numbers: `01:00:00:12`.
    #[must_use]
    pub fn time_code(self, frame: u64) -> String {
        let (seconds, frame) = (frame / self.counted(), frame % self.counted());
        format!(
            "{:02}:{:02}:{:02}:{frame:02}",
            seconds / 3600,
            seconds / 60 % 60,
            seconds % 60
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn time_codes_count_frames() {
        let slow = FrameRate::read("29.97").expect("a rate");
        // An hour has 107,892 frames, and the code of the last falls behind the clock.
        assert_eq!(slow.at(3600), 107_892);
        assert_eq!(slow.time_code(107_892), "00:59:56:12");
        assert_eq!(FrameRate::USUAL.time_code(90_012), "01:00:00:12");
        assert_eq!(FrameRate::read("100"), None);
    }
}
