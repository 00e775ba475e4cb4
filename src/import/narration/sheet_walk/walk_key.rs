//! A key that is pressed while a sheet is walked.

/// A key that was pressed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WalkKey {
    /// A sign.
    Sign(char),
    /// The arrow up.
    Up,
    /// The arrow down.
    Down,
    /// The arrow to the left, or the key for a page back.
    Back,
    /// The arrow to the right, or the key for a page on.
    On,
    /// The key for the beginning.
    Home,
    /// The key for the end.
    End,
    /// Enter.
    Enter,
    /// Escape.
    Escape,
    /// The key that takes the last sign back.
    Rub,
    /// The key that takes all signs back.
    Clear,
    /// The key that takes the last word back.
    RubWord,
    /// The tabulator.
    Tab,
    /// The tabulator with the shift key.
    BackTab,
}
