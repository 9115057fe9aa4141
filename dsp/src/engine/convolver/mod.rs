//! Zero-latency convolution: the first partition of the taps in the time domain, the rest as uniform partitions in the
//! frequency domain (overlap-save with a frequency-domain delay line), what comes after the last tap as one-pole tails.
//!
//! Everything that listens to one channel shares that channel's [`History`]: what is kept per filter is only its
//! [`PartitionedFilter`]. A filter put in place at a step's boundary therefore sounds at once with full history.
//!
//! Per step of `step` samples: [`History::push`] as samples come; when [`History::position`] has come back to 0, the
//! tail of each filter for the whole next step ([`PartitionedFilter::tail`]) is known, because it needs past steps only.

pub mod direct;
mod head;
mod history;
mod partitioned_filter;
mod slow_tails;
mod transform;

pub use history::History;
pub use partitioned_filter::PartitionedFilter;
pub use transform::Transform;
