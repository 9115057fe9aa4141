//! Specification of `engine`: it convolves, without latency, block size or allocation.

#[path = "filter/curves.rs"]
#[allow(dead_code, reason = "shared with tests/filter.rs, which uses the rest")]
mod curves;
#[path = "engine/targets.rs"]
#[allow(dead_code, reason = "shared with the benches")]
mod targets;

/// The convolver against convolution by definition.
#[path = "engine/convolution.rs"]
mod convolution;

/// What is heard against the curve that was asked for.
#[path = "engine/accuracy.rs"]
mod accuracy;

/// Moving knobs, switches and choices.
#[path = "engine/movement.rs"]
mod movement;

/// The same samples at any block size.
#[path = "engine/block_sizes.rs"]
mod block_sizes;

/// No allocation, and no harm from bad input.
#[path = "engine/real_time.rs"]
mod real_time;
