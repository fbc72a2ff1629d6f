//! From the tree of a scenario to the checked design, one table a file.

pub(in crate::scenario) mod bed;
pub(in crate::scenario) mod bob;
pub(in crate::scenario) mod design;
pub(in crate::scenario) mod drawing_layers;
pub(in crate::scenario) mod drive;
pub(in crate::scenario) mod escapement;
pub(in crate::scenario) mod frame;
pub(in crate::scenario) mod friction;
pub(in crate::scenario) mod material;
pub(in crate::scenario) mod materials;
pub(in crate::scenario) mod motor;
pub(in crate::scenario) mod motor_clock;
pub(in crate::scenario) mod oscillator;
pub(in crate::scenario) mod outline;
pub(in crate::scenario) mod overlaying;
pub(in crate::scenario) mod pendulum;
pub(in crate::scenario) mod pivot;
pub(in crate::scenario) mod place;
pub(in crate::scenario) mod port;
pub(in crate::scenario) mod printer;
pub(in crate::scenario) mod scale;
pub(in crate::scenario) mod season;
pub(in crate::scenario) mod suspension;
pub(in crate::scenario) mod tooth;
pub(in crate::scenario) mod train;
pub(in crate::scenario) mod wheel;
