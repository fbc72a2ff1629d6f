//! The wall and the hanging weight: pendulum, driving weight and what carries both, swinging together.

mod carried;
pub mod mode;
mod typical;

pub use carried::Carried;
pub use typical::{
    DEFAULT_HANGS_M, DEFAULT_LOSS_FACTOR, DEFAULT_MOVING_MASS_KG, DEFAULT_WEIGHT_Q, SUPPORTS, TypicalSupport,
    UNSTATED_WEIGHT,
};
