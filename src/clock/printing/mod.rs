//! What a printer makes of the drawn parts.

pub mod bed;
pub mod out_of_true;
pub mod part_sizes;
pub mod printed_outline;
pub mod printer;
pub mod reprint;
pub(in crate::clock) mod tooth_root;
pub mod train_print;
