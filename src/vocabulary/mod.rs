//! Plain values of the trade: names, positions, statuses, money, hours, words.
//!
//! Everything here is a value or a pure function on values. Nothing knows
//! where a text came from, what a ledger is, or how an answer is shown.

pub mod amount;
pub mod away_words;
pub mod bag_phrase;
pub mod calendar_words;
pub mod clock;
pub mod cost;
pub mod cost_reading;
mod cost_tokens;
pub mod currency_words;
pub mod day;
pub mod day_reading;
pub mod fastener;
pub mod fraction;
pub mod frame_rate;
pub mod grade;
pub mod hardware;
pub mod hardware_line;
pub mod hardware_words;
pub mod hedge;
pub mod hours;
pub mod hours_reading;
pub mod label;
pub mod mark_phrase;
pub mod moment;
pub mod money;
pub mod name;
pub mod named_picture;
pub mod paper;
pub mod phrases;
pub mod piece_count;
pub mod position;
pub mod position_words;
pub mod record_name;
pub mod reference;
pub mod refusal;
mod said_length;
pub mod short_name;
pub mod size;
pub mod size_text;
pub mod spoken;
pub mod spoken_number;
pub mod spreadsheet_cell;
pub mod status;
pub mod status_words;
pub mod system_source;
pub mod thread;
pub mod thread_reading;
pub mod thread_series;
pub mod tick_box;
pub mod torque;
pub mod torque_stages;
pub mod torque_unit;
pub mod word_weights;
pub mod words;
