//! What kinds of problems there are.

use std::fmt;

/// Kind of a problem, with a short name that messages show.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ProblemCode {
    /// A quantity without its unit.
    BareNumber,
    /// Two keys exclude each other.
    Conflict,
    /// Two elements of a list have one name.
    DuplicateName,
    /// A value out of its range.
    ImpossibleValue,
    /// A key that has to be there is not.
    MissingKey,
    /// No TOML.
    Syntax,
    /// A key that means nothing.
    UnknownKey,
    /// A name that stands for nothing.
    UnknownName,
    /// A text for a number, a list for a table and the like.
    WrongType,
    /// A text that is no quantity of the kind asked for.
    WrongUnit,
    /// An override that is not of the form path=value.
    MalformedOverride,
    /// Too many files start from one another.
    FromChain,
    /// Files start from one another in a circle.
    FromCircle,
    /// The file to start from cannot be read.
    NoBase,
    /// A drawing that does not give the outlines.
    Drawing,
    /// A log of a room that cannot be opened.
    Log,
    /// A cell of a log that is no number.
    LogCell,
    /// A column of a log that is missing, doubled or unknown.
    LogColumn,
    /// A log with too few or too many rows.
    LogRows,
    /// A time of a log that cannot be read or runs backwards.
    LogTime,
    /// A unit of a log that is missing or does not fit.
    LogUnit,
    /// A part whose material has to be known and is not.
    UnknownMaterial,
    /// A size in which the clock cannot be.
    ImpossibleScale,
    /// A place without the air or gravity asked for.
    ImpossiblePlace,
    /// Parts that make no pendulum.
    ImpossiblePendulum,
    /// A column that no length makes compensate.
    NotCompensated,
    /// A clock driven by a motor where a pendulum is asked for.
    NoPendulum,
    /// A train with arbors or gears missing.
    TrainOpen,
    /// A minute hand that does not turn once an hour.
    MinuteHand,
    /// An hour hand that does not turn once in twelve hours.
    HourHand,
    /// Gears that do not reach each other.
    OutOfMesh,
    /// A wheel that nothing drives.
    NoDrive,
    /// A weight without a train.
    NoTrain,
    /// A cord in several falls without a pulley.
    NoPulley,
    /// A pulley whose friction holds the cord.
    PulleyHolds,
    /// A plan from which no escapement can be drawn.
    ImpossibleEscapement,
    /// Pallets and wheel without an action.
    NoAction,
    /// Pallets and wheel in each other's place.
    PalletsInWheel,
    /// A pallet out of reach of the teeth.
    PalletsNeverTouch,
    /// A part that the printer cannot print.
    CannotPrint,
    /// A part of which the printer leaves nothing.
    NothingLeft,
    /// A spread is asked for and nothing varies.
    NothingVaries,
    /// A spread is asked for without parts to print.
    NoOutlines,
    /// A season is asked for without a rate to refer to.
    NoRate,
    /// A weight is asked for and there is none.
    NoWeightDrive,
}

impl ProblemCode {
    /// The short name, for example `wrong_unit`.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::BareNumber => "bare_number",
            Self::Conflict => "conflict",
            Self::DuplicateName => "duplicate_name",
            Self::ImpossibleValue => "impossible_value",
            Self::MissingKey => "missing_key",
            Self::Syntax => "syntax",
            Self::UnknownKey => "unknown_key",
            Self::UnknownName => "unknown_name",
            Self::WrongType => "wrong_type",
            Self::WrongUnit => "wrong_unit",
            Self::MalformedOverride => "malformed_override",
            Self::FromChain => "from_chain",
            Self::FromCircle => "from_circle",
            Self::NoBase => "no_base",
            Self::Drawing => "drawing",
            Self::Log => "log",
            Self::LogCell => "log_cell",
            Self::LogColumn => "log_column",
            Self::LogRows => "log_rows",
            Self::LogTime => "log_time",
            Self::LogUnit => "log_unit",
            Self::UnknownMaterial => "unknown_material",
            Self::ImpossibleScale => "impossible_scale",
            Self::ImpossiblePlace => "impossible_place",
            Self::ImpossiblePendulum => "impossible_pendulum",
            Self::NotCompensated => "not_compensated",
            Self::NoPendulum => "no_pendulum",
            Self::TrainOpen => "train_open",
            Self::MinuteHand => "minute_hand",
            Self::HourHand => "hour_hand",
            Self::OutOfMesh => "out_of_mesh",
            Self::NoDrive => "no_drive",
            Self::NoTrain => "no_train",
            Self::NoPulley => "no_pulley",
            Self::PulleyHolds => "pulley_holds",
            Self::ImpossibleEscapement => "impossible_escapement",
            Self::NoAction => "no_action",
            Self::PalletsInWheel => "pallets_in_wheel",
            Self::PalletsNeverTouch => "pallets_never_touch",
            Self::CannotPrint => "cannot_print",
            Self::NothingLeft => "nothing_left",
            Self::NothingVaries => "nothing_varies",
            Self::NoOutlines => "no_outlines",
            Self::NoRate => "no_rate",
            Self::NoWeightDrive => "no_weight_drive",
        }
    }
}

impl fmt::Display for ProblemCode {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.pad(self.as_str())
    }
}
