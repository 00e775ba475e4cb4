//! Putting it back: the order against what a mechanic insists on, against a
//! graph library, and against its own rules on made-up journals.

mod graphs;
mod growth;
mod journals;
mod page;
mod pairs;
mod records;
mod shop;
mod steps;
