//! Why a circuit has no answer.

/// Why a circuit has no answer.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum CircuitError {
    /// The equations have no single solution.
    #[error(
        "the circuit has no single solution at {hertz} Hz around node `{node}`; look for a loop of sources or an element of 0 ohm there"
    )]
    Singular {
        /// The node, or the element whose current is undetermined.
        node: String,
        /// In hertz.
        hertz: f64,
    },
    /// A coupling names something that is no inductor.
    #[error("the coupling `{name}` names an element that is no inductor; couple two inductors")]
    NoInductor {
        /// Name of the coupling.
        name: String,
    },
    /// A coupling that no two coils can have.
    #[error("the coupling `{name}` cannot be {coefficient}; give two different coils and a value between -1 and 1")]
    Coupling {
        /// Name of the coupling.
        name: String,
        /// As given.
        coefficient: f64,
    },
}
