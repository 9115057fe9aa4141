//! A linear circuit as a list of elements between nodes.

use super::CircuitError;

/// A circuit: nodes by name, node 0 is ground.
#[derive(Debug, Clone, PartialEq)]
pub struct Netlist {
    nodes: Vec<String>,
    elements: Vec<Element>,
}

/// An index into a netlist's nodes; 0 is ground.
pub type Node = usize;

/// One element, in SI units. Currents flow from `a` to `b`; a source lifts `a` above `b`.
#[derive(Debug, Clone, PartialEq)]
pub struct Element {
    /// Its name, unique in a netlist.
    pub name: String,
    /// First node.
    pub a: Node,
    /// Second node.
    pub b: Node,
    /// What it is.
    pub kind: ElementKind,
}

/// What an element is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ElementKind {
    /// In ohms.
    Resistor(f64),
    /// In farads.
    Capacitor(f64),
    /// In henries.
    Inductor(f64),
    /// Mutual inductance M = k sqrt(L1 L2), in henries, of the inductors at these places in the list; its nodes do
    /// not matter.
    Coupling {
        /// Index of the first inductor among the elements.
        first: usize,
        /// Index of the second inductor among the elements.
        second: usize,
        /// In henries, signed.
        mutual: f64,
    },
    /// An ideal EMF. Responses are per volt of the source with this index.
    Source(usize),
}

impl Netlist {
    /// The ground node.
    pub const GROUND: Node = 0;

    /// A netlist with nothing but ground.
    pub fn new() -> Self {
        Self { nodes: vec!["ground".into()], elements: Vec::new() }
    }

    /// The node of that name, made if it is new.
    pub fn node(&mut self, name: &str) -> Node {
        self.nodes.iter().position(|node| node == name).unwrap_or_else(|| {
            self.nodes.push(name.to_string());
            self.nodes.len() - 1
        })
    }

    /// Adds an element and returns its place in the list.
    ///
    /// # Panics
    /// When a node does not exist.
    pub fn add(&mut self, name: &str, a: Node, b: Node, kind: ElementKind) -> usize {
        assert!(a < self.nodes.len() && b < self.nodes.len(), "the nodes of {name} must exist");
        self.elements.push(Element { name: name.to_string(), a, b, kind });
        self.elements.len() - 1
    }

    /// Couples two inductors with coefficient k: M = k sqrt(L1 L2).
    ///
    /// # Errors
    /// When one of them is no inductor, or k does not lie between -1 and 1.
    pub fn couple(&mut self, name: &str, first: usize, second: usize, coefficient: f64) -> Result<(), CircuitError> {
        let inductance = |index: usize| match self.elements.get(index).map(|element| element.kind) {
            Some(ElementKind::Inductor(inductance)) => Some(inductance),
            _ => None,
        };
        let (Some(l1), Some(l2)) = (inductance(first), inductance(second)) else {
            return Err(CircuitError::NoInductor { name: name.to_string() });
        };
        if coefficient.abs() >= 1.0 || coefficient.is_nan() || first == second {
            return Err(CircuitError::Coupling { name: name.to_string(), coefficient });
        }
        let mutual = coefficient * (l1 * l2).sqrt();
        self.add(name, Self::GROUND, Self::GROUND, ElementKind::Coupling { first, second, mutual });
        Ok(())
    }

    /// Names of the nodes.
    pub fn nodes(&self) -> &[String] {
        &self.nodes
    }

    /// The elements, in the order in which they were added.
    pub fn elements(&self) -> &[Element] {
        &self.elements
    }

    /// Number of sources: one more than the highest index.
    pub fn sources(&self) -> usize {
        let index = |element: &Element| match element.kind {
            ElementKind::Source(index) => Some(index + 1),
            _ => None,
        };
        self.elements.iter().filter_map(index).max().unwrap_or(0)
    }

    /// For each node, the lowest node it hangs together with through elements that `conducts`, and `ties`, groups of
    /// nodes that count as one.
    pub fn islands(&self, ties: &[Node], conducts: impl Fn(&ElementKind) -> bool) -> Vec<Node> {
        let mut sets = DisjointSets::new(self.nodes.len());
        ties.windows(2).for_each(|pair| sets.union(pair[0], pair[1]));
        for element in &self.elements {
            if !matches!(element.kind, ElementKind::Coupling { .. }) && conducts(&element.kind) {
                sets.union(element.a, element.b);
            }
        }
        (0..self.nodes.len()).map(|node| sets.find(node)).collect()
    }
}

impl Default for Netlist {
    fn default() -> Self {
        Self::new()
    }
}

/// Sets of small numbers that only ever merge; each is known by its lowest member.
#[derive(Debug, Clone)]
pub(super) struct DisjointSets(Vec<usize>);

impl DisjointSets {
    pub fn new(count: usize) -> Self {
        Self((0..count).collect())
    }

    pub fn find(&self, mut member: usize) -> usize {
        while self.0[member] != member {
            member = self.0[member];
        }
        member
    }

    pub fn union(&mut self, a: usize, b: usize) {
        let (a, b) = (self.find(a), self.find(b));
        self.0[a.max(b)] = a.min(b);
    }
}
