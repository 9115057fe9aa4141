//! Blind comparison: between the coins and what is heard.

use super::{App, Blind};
use crate::abx::{Abx, fair_coin};
use crate::editor::{BenchId, Listen};
use crate::session::Bench;

/// A bench in the session's terms.
pub fn bench(id: BenchId) -> Bench {
    match id {
        BenchId::A => Bench::A,
        BenchId::B => Bench::B,
    }
}

impl App {
    pub(super) fn start_blind(&mut self, trials: usize) {
        match fair_coin() {
            Ok(x) => {
                self.blind = Some(Blind { abx: Abx::new(trials, x), listening: Listen::X });
                self.hear_blind();
            }
            Err(error) => {
                self.trouble = Some(format!("no fair comparison: the system gives no random numbers ({error})"))
            }
        }
    }

    pub(super) fn answer_blind(&mut self, said: BenchId) {
        let Some(blind) = &mut self.blind else { return };
        // Without entropy the comparison ends rather than going on unfairly.
        match fair_coin() {
            Ok(next) => blind.abx.answer(bench(said), next),
            Err(error) => {
                self.trouble = Some(format!("the comparison ended: the system gives no random numbers ({error})"));
                self.blind = None;
            }
        }
        self.hear_blind();
    }

    pub(super) fn stop_blind(&mut self) {
        self.blind = None;
        self.hear_blind();
    }

    /// While a comparison runs, what is heard is its own business; the parameter stays where it was and tells nothing.
    pub(super) fn listen_blind(&mut self, listen: Listen) -> bool {
        match &mut self.blind {
            Some(blind) if blind.abx.outcome().is_none() => {
                if listen != Listen::Dry {
                    blind.listening = listen;
                }
                self.hear_blind();
                true
            }
            _ => false,
        }
    }

    fn hear_blind(&mut self) {
        let running = self.blind.as_ref().filter(|blind| blind.abx.outcome().is_none());
        self.desk.set_blind(running.map(|blind| match blind.listening {
            Listen::A => Bench::A,
            Listen::B => Bench::B,
            Listen::X | Listen::Dry => blind.abx.x(),
        }));
    }
}
