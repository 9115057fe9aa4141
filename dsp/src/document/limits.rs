//! How large a document may be. No guitar comes near these; they keep a hostile file from taking for ever.

/// Bytes of a document.
pub(super) const BYTES: usize = 1_000_000;
/// Parts of a wiring, and of an add-on.
pub(super) const PARTS: usize = 40;
/// Joints of a wiring, and of an add-on.
pub(super) const JOINTS: usize = 64;
/// Lugs on one joint.
pub(super) const LUGS_OF_A_JOINT: usize = 64;
/// Lugs of a switch.
pub(super) const LUGS: usize = 64;
/// Positions of a switch or a sounds table.
pub(super) const POSITIONS: usize = 64;
/// Settings of switches in a sounds table.
pub(super) const SETTINGS: usize = 32;
/// Points of a taper or a voicing.
pub(super) const POINTS: usize = 64;
/// Strings of a guitar.
pub(super) const STRINGS: usize = 12;
/// Pickups of a guitar.
pub(super) const PICKUPS: usize = 8;
/// Characters of a name or a label.
pub(super) const NAME: usize = 64;
/// Problems that are worth listing.
pub(super) const PROBLEMS: usize = 500;
