//! Plays the step list of a plan on a bench of its own and judges it.
//!
//! Written from the rules of the trade alone: it knows where each string runs along
//! its piece, which holders are on, and what the tension head does. It shares no
//! code with what makes the steps.
use std::collections::{BTreeMap, BTreeSet};

use weftdesk::craft::frame::{FrameRecord, Side};
use weftdesk::craft::spec::Pieces;
use weftdesk::craft::string_plan::steps::{Action, Holder, HolderChange, OnOff, StringRef, Tail};
use weftdesk::craft::string_plan::{Plan, PlanRequest};
use weftdesk::craft::weave_method::WeaveMethod;

/// One piece of string as the list of its runs, from its first tail to its second.
struct Piece {
    tails: (Tail, Tail),
    runs: Vec<StringRef>,
    tensioned: BTreeSet<usize>,
    /// Where something holds, in thirds of a run: 3 i is before run i, 3 i + 1 and + 2 on it.
    held: BTreeMap<String, i64>,
    head: Option<i64>,
}

/// Plays all steps; the first broken rule is told.
pub(crate) fn replay(request: &PlanRequest, plan: &Plan) -> Result<(), String> {
    let mut bench = Bench::new(request, plan);
    for step in &plan.steps {
        bench
            .play(&step.action)
            .map_err(|fault| format!("step {} ({}): {fault}", step.number, step.text))?;
    }
    bench.at_the_end(&request.frame)
}

struct Bench {
    pieces: Vec<Piece>,
    machine_clamps: usize,
    max_ahead: i64,
    pulled: BTreeMap<Side, i64>,
    pulls: BTreeSet<String>,
}

fn mains_of(side: Side, last: u16) -> Vec<StringRef> {
    (1..=last)
        .map(|number| StringRef::Main { side, number })
        .collect()
}

fn crosses(numbers: impl Iterator<Item = u16>) -> Vec<StringRef> {
    numbers.map(|number| StringRef::Cross { number }).collect()
}

fn backwards(mut runs: Vec<StringRef>) -> Vec<StringRef> {
    runs.reverse();
    runs
}

/// The runs of the crosses of two pieces, from the end that starts.
fn cross_runs(method: WeaveMethod, count: u16) -> Vec<StringRef> {
    let runs = crosses(1..=count);
    if method == WeaveMethod::ThroatUp {
        backwards(runs)
    } else {
        runs
    }
}

/// The runs of one piece, from the end of the short side.
fn one_piece_runs(plan: &Plan, short: Side) -> Vec<StringRef> {
    let (per_side, count) = (plan.frame.mains / 2, plan.frame.crosses);
    let start = plan.start_cross.value.unwrap_or(0);
    let long = if short == Side::A { Side::B } else { Side::A };
    let loop_of =
        |short_last: u16| [backwards(mains_of(short, short_last)), mains_of(long, per_side)].concat();
    match plan.method.method {
        WeaveMethod::TopsOnShortSide => {
            [crosses(1..=start), loop_of(per_side), crosses(start + 1..=count)].concat()
        }
        WeaveMethod::Around => {
            let far = StringRef::Main {
                side: short,
                number: per_side,
            };
            [
                loop_of(per_side - 1),
                crosses(count..=count),
                vec![far],
                crosses(1..=count - 1),
            ]
            .concat()
        }
        method => [loop_of(per_side), cross_runs(method, count)].concat(),
    }
}

impl Bench {
    fn new(request: &PlanRequest, plan: &Plan) -> Self {
        let piece = |tails, runs| Piece {
            tails,
            runs,
            tensioned: BTreeSet::new(),
            held: BTreeMap::new(),
            head: None,
        };
        let per_side = plan.frame.mains / 2;
        let pieces = match request.spec.pieces {
            Pieces::Two => vec![
                piece(
                    (Tail::A, Tail::B),
                    [
                        backwards(mains_of(Side::A, per_side)),
                        mains_of(Side::B, per_side),
                    ]
                    .concat(),
                ),
                piece(
                    (Tail::Short, Tail::Long),
                    cross_runs(plan.method.method, plan.frame.crosses),
                ),
            ],
            Pieces::One => {
                let short = plan.short_side.as_ref().map_or(Side::A, |short| short.side);
                vec![piece((Tail::Short, Tail::Long), one_piece_runs(plan, short))]
            }
        };
        Self {
            pieces,
            machine_clamps: request
                .machine
                .as_ref()
                .and_then(|machine| machine.clamp_count)
                .unwrap_or(2)
                .into(),
            max_ahead: plan.ends.max_mains_ahead.into(),
            pulled: BTreeMap::from([(Side::A, 0), (Side::B, 0)]),
            pulls: BTreeSet::new(),
        }
    }

    fn play(&mut self, action: &Action) -> Result<(), String> {
        match action {
            Action::StartKnot { string, tail, .. } => {
                self.hold(*string, *tail, "starting knot".to_owned(), true)?;
            }
            Action::Holders { changes } => self.change(changes)?,
            Action::Pull {
                string,
                tail,
                while_pulled,
                again,
                ..
            } => {
                self.pull(*string, *tail, *again)?;
                self.change(while_pulled)?;
                self.pieces.iter_mut().for_each(|piece| piece.head = None);
            }
            Action::TieOff {
                string, tail, then, ..
            } => {
                if !self.find(*string)?.tensioned {
                    return Err(format!("ties off {}, which has no tension", string.label()));
                }
                self.hold(*string, *tail, format!("knot {tail:?} {}", string.label()), true)?;
                self.change(then)?;
            }
            _ => {}
        }
        self.judge()
    }

    fn find(&self, string: StringRef) -> Result<Found, String> {
        for (piece, runs) in self.pieces.iter().enumerate() {
            if let Some(run) = runs.runs.iter().position(|run| *run == string) {
                return Ok(Found {
                    piece,
                    run,
                    tensioned: runs.tensioned.contains(&run),
                });
            }
        }
        Err(format!("{} is on no piece", string.label()))
    }

    /// Whether `tail` is the second tail of the piece; a foreign tail is a fault.
    fn forwards(&self, piece: usize, tail: Tail) -> Result<bool, String> {
        let tails = self.pieces[piece].tails;
        if tail == tails.1 {
            Ok(true)
        } else if tail == tails.0 {
            Ok(false)
        } else {
            Err(format!("{tail:?} is no end of this piece"))
        }
    }

    fn hold(&mut self, string: StringRef, tail: Tail, name: String, outside: bool) -> Result<(), String> {
        let found = self.find(string)?;
        let forwards = self.forwards(found.piece, tail)?;
        let run = i64::try_from(found.run).unwrap();
        let place = match (forwards, outside) {
            (true, true) => 3 * run + 3,
            (true, false) => 3 * run + 2,
            (false, false) => 3 * run + 1,
            (false, true) => 3 * run,
        };
        if self.pieces.iter().any(|piece| piece.held.contains_key(&name)) {
            return Err(format!("{name} is already on"));
        }
        self.pieces[found.piece].held.insert(name, place);
        Ok(())
    }

    fn change(&mut self, changes: &[HolderChange]) -> Result<(), String> {
        for change in changes {
            let (name, outside) = match change.holder {
                Holder::MachineClamp { number } => (format!("machine clamp {number}"), false),
                Holder::StartingClamp { number } => (format!("starting clamp {number}"), true),
            };
            if change.change == OnOff::PutOn {
                self.hold(change.string, change.towards, name, outside)?;
            } else {
                let found = self.find(change.string)?;
                let run = i64::try_from(found.run).unwrap();
                let place = self.pieces[found.piece].held.remove(&name);
                if place.is_none_or(|place| !(3 * run..=3 * run + 3).contains(&place)) {
                    return Err(format!("{name} is not on {}", change.string.label()));
                }
            }
            let on = self.pieces.iter().flat_map(|piece| piece.held.keys());
            if on.filter(|name| name.starts_with("machine clamp")).count() > self.machine_clamps {
                return Err("more machine clamps on than there are".to_owned());
            }
            self.judge()?;
        }
        Ok(())
    }

    /// The head tensions every run from itself to the nearest holder.
    fn pull(&mut self, string: StringRef, tail: Tail, again: bool) -> Result<(), String> {
        let found = self.find(string)?;
        if again && !found.tensioned {
            return Err(format!("pulls {} again, which was never pulled", string.label()));
        }
        let forwards = self.forwards(found.piece, tail)?;
        let piece = &mut self.pieces[found.piece];
        let run = i64::try_from(found.run).unwrap();
        let head = if forwards { 3 * run + 3 } else { 3 * run };
        let inward: Vec<i64> = piece
            .held
            .values()
            .copied()
            .filter(|place| {
                if forwards {
                    *place <= 3 * run + 2
                } else {
                    *place > 3 * run
                }
            })
            .collect();
        // a holder at the head's own place is unloaded by this pull, so it is not what it pulls against
        let anchor = if forwards {
            inward.iter().max()
        } else {
            inward.iter().min()
        }
        .copied()
        .ok_or_else(|| format!("pulls {} against nothing", string.label()))?;
        let runs = if forwards {
            (anchor + 1).div_euclid(3)..run + 1
        } else {
            run..(anchor + 1).div_euclid(3)
        };
        for tensioned in runs {
            piece.tensioned.insert(usize::try_from(tensioned).unwrap());
        }
        piece.tensioned.insert(found.run);
        piece.head = Some(head);
        self.pulls.insert(string.label());
        if let StringRef::Main { side, number } = string {
            let pulled = self.pulled.get_mut(&side).unwrap();
            if i64::from(number) != *pulled + 1 {
                return Err(format!(
                    "pulls {} after {pulled} mains of its side",
                    string.label()
                ));
            }
            *pulled += 1;
            let ahead = (self.pulled[&Side::A] - self.pulled[&Side::B]).abs();
            if ahead > self.max_ahead {
                return Err(format!("{ahead} mains ahead, {} allowed", self.max_ahead));
            }
        }
        Ok(())
    }

    /// Every tensioned run has a holder on both sides before the string goes slack.
    fn judge(&self) -> Result<(), String> {
        for piece in &self.pieces {
            for run in &piece.tensioned {
                let label = piece.runs[*run].label();
                if !piece.held_towards(*run, true) || !piece.held_towards(*run, false) {
                    return Err(format!("{label} is pulled and nothing holds it"));
                }
            }
        }
        Ok(())
    }

    fn at_the_end(&self, frame: &FrameRecord) -> Result<(), String> {
        let runs = usize::from(frame.mains) + usize::from(frame.crosses);
        let tensioned: usize = self.pieces.iter().map(|piece| piece.tensioned.len()).sum();
        if tensioned != runs || self.pulls.len() != runs {
            return Err(format!(
                "{tensioned} of {runs} strings under tension, {} pulled",
                self.pulls.len()
            ));
        }
        for piece in &self.pieces {
            if let Some(left) = piece.held.keys().find(|name| name.contains("clamp")) {
                return Err(format!("{left} is still on"));
            }
            if piece.held.len() != 2 {
                return Err(format!("a piece with {} knots", piece.held.len()));
            }
        }
        Ok(())
    }
}

struct Found {
    piece: usize,
    run: usize,
    tensioned: bool,
}

impl Piece {
    fn held_towards(&self, run: usize, forwards: bool) -> bool {
        let mut at = run;
        loop {
            let here = i64::try_from(at).unwrap();
            let first = at == run;
            // on the run itself only a holder beyond its middle counts
            let reach = match (forwards, first) {
                (true, true) => 3 * here + 2..=3 * here + 3,
                (false, true) => 3 * here..=3 * here + 1,
                (_, false) => 3 * here..=3 * here + 3,
            };
            if self
                .held
                .values()
                .chain(self.head.iter())
                .any(|place| reach.contains(place))
            {
                return true;
            }
            let next = if forwards {
                at.checked_add(1)
            } else {
                at.checked_sub(1)
            };
            match next.filter(|next| self.tensioned.contains(next)) {
                Some(next) => at = next,
                None => return false,
            }
        }
    }
}
