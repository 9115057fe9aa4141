//! A formula of propositional logic that grows: literals, clauses, counters and orders over them.

use std::ops::ControlFlow;

use batsat::{Callbacks, ClauseKind, Lit, Solver, SolverInterface, SolverOpts, Theory, lbool};

/// Hears the number of wires that is being tried and how many contradictions were met, and says whether to go on.
pub type Progress<'a> = dyn FnMut(usize, u64) -> ControlFlow<()> + 'a;

/// Clauses under a solver that learns from every contradiction.
pub(super) struct Clauses<'a> {
    solver: Solver<Watch<'a>>,
    never: Lit,
}

/// Hears how the search goes, and ends it.
struct Watch<'a> {
    contradictions: u64,
    most: u64,
    /// How many end the present question.
    pause: u64,
    wires: usize,
    given_up: bool,
    progress: &'a mut Progress<'a>,
}

/// Contradictions between two words of progress: some 20 ms.
const PROGRESS: u64 = 512;

impl Callbacks for Watch<'_> {
    fn on_new_clause(&mut self, _: &[Lit], kind: ClauseKind) {
        if kind != ClauseKind::Axiom {
            self.contradictions += 1;
            if self.contradictions.is_multiple_of(PROGRESS) {
                self.ask();
            }
        }
    }

    fn stop(&self) -> bool {
        self.given_up || self.contradictions >= self.most.min(self.pause)
    }
}

impl Watch<'_> {
    fn ask(&mut self) {
        self.given_up |= (self.progress)(self.wires, self.contradictions).is_break();
    }
}

/// What the clauses come to under some assumptions.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Answer {
    /// They hold together; the literals' values are there to be asked for.
    Holds,
    /// They contradict each other.
    Contradicts,
    /// Nobody knows: the effort is spent.
    Unknown,
}

impl<'a> Clauses<'a> {
    /// No clause. After `most` contradictions, or when `progress` says so, no answer is sought any more.
    pub fn new(most: u64, progress: &'a mut Progress<'a>) -> Self {
        let mut watch = Watch { contradictions: 0, most, pause: most, wires: 0, given_up: false, progress };
        // Who gave up before this question was put wants no answer to it.
        watch.ask();
        let mut solver = Solver::new(SolverOpts::default(), watch);
        let never = Lit::new(solver.new_var(lbool::UNDEF, false), true);
        solver.add_clause_reuse(&mut vec![!never]);
        Self { solver, never }
    }

    /// Something that is never true.
    pub fn never(&self) -> Lit {
        self.never
    }

    /// Something to be decided; yes is tried first, for what must be joined is asked for and what must not follows from it.
    pub fn choice(&mut self) -> Lit {
        Lit::new(self.solver.new_var(lbool::TRUE, true), true)
    }

    /// Something that follows from choices. It must be safe to call it untrue where no clause makes it true.
    pub fn consequence(&mut self) -> Lit {
        Lit::new(self.solver.new_var(lbool::UNDEF, false), true)
    }

    /// At least one of these is true.
    pub fn add(&mut self, literals: &[Lit]) {
        self.solver.add_clause_reuse(&mut literals.to_vec());
    }

    /// Whether all clauses and assumptions can be true at once, together with what `theory` adds on the way. `most` is the most
    /// contradictions that the answer may cost.
    pub fn solve<T: Theory>(&mut self, theory: &mut T, assumptions: &[Lit], most: u64) -> Answer {
        let watch = self.solver.cb_mut();
        watch.pause = watch.contradictions.saturating_add(most);
        match self.solver.solve_limited_th(theory, assumptions) {
            answer if answer == lbool::TRUE => Answer::Holds,
            answer if answer == lbool::FALSE => Answer::Contradicts,
            _ => Answer::Unknown,
        }
    }

    /// The number of wires that progress hears of from now on.
    pub fn tell(&mut self, wires: usize) {
        self.solver.cb_mut().wires = wires;
    }

    /// Whether a literal is true in the last answer.
    pub fn holds(&self, literal: Lit) -> bool {
        self.solver.value_lit(literal) == lbool::TRUE
    }

    /// Contradictions met so far.
    pub fn contradictions(&self) -> u64 {
        self.solver.cb().contradictions
    }

    /// Literals of which number k (from 0) is true when more than k of the literals counted by two such lists are: a totaliser
    /// (Bailleux and Boufkhad, CP 2003).
    pub fn sum(&mut self, one: &[Lit], other: &[Lit]) -> Vec<Lit> {
        let sum: Vec<Lit> = (0..one.len() + other.len()).map(|_| self.consequence()).collect();
        for a in 0..=one.len() {
            for b in (0..=other.len()).filter(|b| a + b > 0) {
                let mut clause = vec![sum[a + b - 1]];
                clause.extend((a > 0).then(|| !one[a - 1]));
                clause.extend((b > 0).then(|| !other[b - 1]));
                self.add(&clause);
            }
        }
        sum
    }

    /// The sum of many such lists, by pairs.
    pub fn sum_of_all(&mut self, mut lists: Vec<Vec<Lit>>) -> Vec<Lit> {
        while lists.len() > 1 {
            let pair = |pair: &[Vec<Lit>]| match pair {
                [one, other] => self.sum(one, other),
                rest => rest.concat(),
            };
            lists = lists.chunks(2).map(pair).collect();
        }
        lists.pop().unwrap_or_default()
    }

    /// Where `condition` is true, the first list is not behind the second in the order in which true comes before untrue.
    pub fn not_behind(&mut self, condition: Option<Lit>, first: &[Lit], second: &[Lit]) {
        let mut equal_so_far = condition;
        for (&a, &b) in first.iter().zip(second) {
            let unless: Vec<Lit> = equal_so_far.map(|equal| !equal).into_iter().collect();
            self.add(&[&unless[..], &[a, !b]].concat());
            let still_equal = self.consequence();
            self.add(&[&unless[..], &[!b, still_equal]].concat());
            self.add(&[&unless[..], &[a, still_equal]].concat());
            equal_so_far = Some(still_equal);
        }
    }
}
