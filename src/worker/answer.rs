//! Works a question out, in steps: between two of them whoever asked may stop it or let something else go first.
//!
//! It reads no clock. When to pause is the [`Host`]'s to say; [`answer`], for tests and other programs without an event
//! loop, never does.

use super::host::{Host, Pause};
use super::task::{Answer, Task};
use super::{
    autonomy, building, compare, drafting, findings, logic, losses, recheck, showing, sizes,
    start_by, teaching,
};
use crate::fit::{fit_watched, read_readings};
use crate::plan::Plan;
use crate::proof::{self, Check, Study};
use crate::run::{Course, reserve};
use crate::sheet::aims::Panel;
use crate::sheet::tidy::lay_out;
use crate::sky::AimReport;
use std::cell::RefCell;
use std::sync::Arc;
use std::task::{Context, Waker};

/// How many events are gone through between two looks at the host.
const EVENTS: u64 = 5_000;

/// Works `task` out; `host` is told every piece as it comes.
pub async fn work(task: Task, study: &Arc<Study>, host: &dyn Host) {
    let plan = study.plan();
    match task {
        Task::Day(extent, by_hand) => {
            let plan = &Plan {
                by_hand,
                ..Plan::clone(plan)
            };
            let mut course = Course::new(plan, extent);
            while !course.go(EVENTS) {
                let (done, of) = course.days();
                host.say(Answer::Progress(done, of));
                if !host.goes_on().await {
                    return;
                }
            }
            host.say(Answer::Day(Box::new(course.finish(plan))));
        }
        Task::Aims { part, day, least } => {
            let mut tell = |report: &AimReport| host.say(Answer::Aims(Box::new(report.clone())));
            match Panel::of(plan, &part, day) {
                Some(panel) => panel
                    .sky
                    .report_aims(panel.peak, panel.weather, least, &mut tell),
                None => tell(&AimReport {
                    complete: true,
                    ..AimReport::default()
                }),
            }
        }
        Task::Duties => duties(study, host).await,
        Task::Holds(from) => host.say(Answer::Holds(proof::autonomy(plan, from))),
        Task::Autonomy => autonomy::autonomy(study, host).await,
        Task::Reserve(days) => host.say(Answer::Reserve(reserve(plan, days))),
        Task::Sizes(ask) => sizes::least(plan, &ask, host),
        Task::Spare => sizes::spare(plan, host),
        Task::Losses { empty, share } => losses::singles(study, empty, share, host).await,
        Task::Pairs(singles) => losses::pairs(study, &singles, host).await,
        Task::Logic(t) => logic::contacts(plan, t, host).await,
        Task::Findings => findings::findings(study, host).await,
        Task::Tidy(chosen, screen) => host.say(Answer::LaidOut(lay_out(plan, &chosen, screen))),
        Task::StartBy(wish) => start_by::start_by(study, &wish, host).await,
        Task::Compare { other, losses } => compare::compare(study, &other, losses, host),
        Task::Fit(text) => fit(&text, host),
        Task::Cables => building::cables(plan, host),
        Task::OnSite(known) => building::on_site(plan, known, host).await,
        Task::Hide(wire) => building::hide(plan, &wire, host),
        Task::Steps(at) => building::steps(plan, at, host),
        Task::Diagnose(readings) => building::diagnose(plan, &readings, host).await,
        Task::Explain => showing::explain(study, host).await,
        Task::StepText(before) => showing::step_text(&before, study, host).await,
        Task::Picture(wanted) => showing::picture(plan, &wanted, host),
        Task::Grade => teaching::grade(plan, host).await,
        Task::GradeAll(texts) => teaching::grade_all(plan, &texts, host).await,
        Task::Draft { order, completes } => {
            drafting::draft(&order, completes.then_some(plan), host).await;
        }
        Task::Recheck { given, side } => recheck::recheck(plan, &given, side, host),
    }
}

/// The world of a table of readings.
fn fit(text: &str, host: &dyn Host) {
    let mut tell = |done, of| host.say(Answer::Progress(done, of));
    let fitted = match read_readings(text) {
        Ok(readings) => Ok(fit_watched(&readings, &mut tell)),
        Err(faults) => Err(faults.iter().map(ToString::to_string).collect()),
    };
    host.say(Answer::Fitted(Box::new(fitted)));
}

/// The verdicts first, then why duties are broken.
async fn duties(study: &Arc<Study>, host: &dyn Host) {
    let mut tell = |day| host.say(Answer::Progress(day, proof::DAYS));
    let check = study.check_watched(&mut tell);
    host.say(Answer::Checked(Box::new(Check::clone(check))));
    if host.goes_on().await {
        host.say(Answer::Causes(Vec::clone(study.causes())));
    }
}

/// A host that waits for nothing and stops nothing.
struct Steady<'a>(RefCell<&'a mut dyn FnMut(Answer)>);

impl Host for Steady<'_> {
    fn say(&self, piece: Answer) {
        (self.0.borrow_mut())(piece);
    }

    fn pause(&self) -> Option<Pause> {
        None
    }

    fn is_stopped(&self) -> bool {
        false
    }
}

/// Works `task` out from beginning to end; `say` is told every piece as it comes.
pub fn answer(task: Task, plan: &Plan, say: &mut dyn FnMut(Answer)) {
    let study = Arc::new(Study::new(plan.clone()));
    let host = Steady(RefCell::new(say));
    let mut work = Box::pin(work(task, &study, &host));
    // Without a pause there is nothing to wait for: once is enough.
    let mut context = Context::from_waker(Waker::noop());
    while work.as_mut().poll(&mut context).is_pending() {}
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diagnosis::{BaseReading, reading_of_text};
    use crate::picture::{Picture, What};
    use crate::plan::{Clock, Exercise, read_plan};
    use crate::proof::recheck::Side;
    use crate::proof::sizes::Ask;
    use crate::proof::start_by::{Bound, StartWish};
    use crate::run::Extent;
    use crate::sheet::tidy::Screen;
    use crate::worker::{FromWorker, GivenNumbers, ToWorker};
    use crate::works::{HiddenRun, OnSite};
    use std::cell::Cell;
    use std::collections::BTreeMap;

    fn lamp() -> Plan {
        read_plan(include_str!("../../assets/examples/dusk-lamp.json")).expect("an example")
    }

    fn earlier() -> StartWish {
        let plan = lamp();
        let is_lamp = |p: &&crate::plan::Part| p.kind == "lamp";
        StartWish {
            part: plan.parts.iter().find(is_lamp).expect("a lamp").id.clone(),
            at: Clock::parse("16:00").expect("a time"),
            bound: Bound::AtLatest,
            near: None,
        }
    }

    fn drafted(order: String, completes: bool) -> Task {
        Task::Draft { order, completes }
    }

    /// One lamp in the dark, with what that takes.
    fn lamp_order() -> String {
        let order = serde_json::json!({
            "format": "duskline/order", "version": 1, "book": "outpost",
            "wants": [{ "type": "lamp", "duty": { "when": "dark" } }],
            "may": { "sun-panel": 1, "battery": 1 },
        });
        order.to_string()
    }

    fn readings(text: &str) -> Vec<BaseReading> {
        vec![reading_of_text(&lamp(), text).expect("a reading")]
    }

    fn all() -> Vec<Task> {
        let share = (0, 1);
        vec![
            Task::Day(Extent::Days(2), Vec::new()),
            Task::Aims {
                part: "p1".into(),
                day: 0,
                least: 1,
            },
            Task::Duties,
            Task::Holds(0),
            Task::Autonomy,
            Task::Reserve(1),
            Task::Tidy(["p1".into(), "p2".into()].into(), Screen::Upright),
            Task::Sizes(Ask::default()),
            Task::Spare,
            Task::Losses { empty: true, share },
            Task::Pairs(Vec::new()),
            Task::Logic(0),
            Task::Findings,
            Task::StartBy(earlier()),
            Task::Compare {
                other: lamp().print(),
                losses: true,
            },
            Task::Fit(include_str!("../../assets/readings/kittiwake-light.json").into()),
            Task::Fit("{}".into()),
            drafted(lamp_order(), false),
            drafted(lamp_order(), true),
            drafted("{}".into(), false),
            Task::Cables,
            Task::OnSite(BTreeMap::new()),
            Task::Hide("w1".into()),
            Task::Explain,
            Task::StepText(lamp().bare().print()),
            Task::StepText("no plan".into()),
            Task::Picture(Box::new(Picture::new(What::Board))),
            Task::Picture(Box::new(Picture::new(What::Site(None)))),
            Task::Steps(Clock::parse("12:00").expect("a time")),
            Task::Diagnose(readings("p6=off@21:00")),
            Task::Diagnose(vec![BaseReading {
                at: u64::MAX,
                ..readings("p6=off@21:00")[0].clone()
            }]),
            Task::Grade,
            Task::GradeAll(vec!["Tern: no link".into(), lamp().print()]),
            Task::Recheck {
                given: GivenNumbers::Book(lamp().book.book.print()),
                side: Side::After,
            },
        ]
    }

    #[test]
    fn every_question_has_one_last_piece_and_travels_as_bytes() {
        let plan = lamp();
        for task in all() {
            let ask = ToWorker::Ask {
                number: 7,
                task: task.clone(),
                plan: Some(plan.print()),
            };
            assert_eq!(ToWorker::from_bytes(&ask.to_bytes()), Some(ask));
            let mut pieces = Vec::new();
            answer(task.clone(), &plan, &mut |piece| pieces.push(piece));
            let last = pieces.iter().filter(|piece| piece.is_last()).count();
            assert_eq!(last, 1, "{task:?}");
            assert!(pieces.last().is_some_and(Answer::is_last), "{task:?}");
            for piece in pieces {
                let said = FromWorker::Piece(7, piece);
                assert_eq!(FromWorker::from_bytes(&said.to_bytes()), Some(said));
            }
        }
    }

    /// The station has a site: runs are looked for one by one, those known are taken over, and stopping is heeded.
    #[test]
    fn the_runs_of_a_plan_in_its_site_are_found_in_steps() {
        let text = include_str!("../../assets/examples/kittiwake-light.json");
        let plan = read_plan(text).expect("an example");
        let found = |known| {
            let (mut found, mut pieces) = (None, 0);
            answer(Task::OnSite(known), &plan, &mut |piece| {
                pieces += 1;
                if let Answer::OnSite(Some(all)) = piece {
                    found = Some(*all);
                }
            });
            assert!(pieces > 2, "progress is told");
            let found = OnSite::found(&plan, found.expect("it has a site"));
            found.expect("it has a site")
        };
        let first = found(BTreeMap::new());
        assert_eq!(Some(&first), OnSite::of(&plan).as_ref());
        assert_eq!(found(first.still_known(&plan)), first);
        let wire = plan.wires[0].id.clone();
        let mut hidden = None;
        answer(Task::Hide(wire.clone()), &plan, &mut |piece| {
            if let Answer::Hidden(found) = piece {
                hidden = found;
            }
        });
        assert_eq!(hidden.map(|found| *found), HiddenRun::of(&plan, &wire));
        let study = Arc::new(Study::new(plan));
        let host = Impatient {
            left: Cell::new(1),
            said: RefCell::default(),
        };
        let mut work = Box::pin(work(Task::OnSite(BTreeMap::new()), &study, &host));
        let polled = work.as_mut().poll(&mut Context::from_waker(Waker::noop()));
        assert!(polled.is_ready() && !host.said.borrow().iter().any(Answer::is_last));
    }

    #[test]
    fn a_learners_plan_is_graded_against_what_it_carries_and_alone_among_others() {
        let exercise = Exercise {
            asks: "Light at dusk".into(),
            ..Exercise::default()
        };
        let set = Plan {
            exercise: Some(Arc::new(exercise)),
            ..lamp()
        };
        let plan = set.clone().begun();
        let mut graded = None;
        answer(Task::Grade, &plan, &mut |piece| {
            if let Answer::Graded(found) = piece {
                graded = Some(*found);
            }
        });
        let (grade, said) = graded.expect("a grade").expect("an exercise");
        assert_eq!(Ok(&grade), crate::teach::grade(&set, &plan).as_ref());
        assert!(grade.kept, "{}", said.verdict);
        let mut rows = Vec::new();
        let texts = vec!["Tern: no link".to_string(), plan.print()];
        answer(Task::GradeAll(texts.clone()), &plan, &mut |piece| {
            if let Answer::GradedNext(row) = piece {
                rows.push(row.expect("an exercise"));
            }
        });
        assert_eq!(Ok(rows), crate::teach::grade_rows(&set, &texts));
    }

    #[test]
    fn two_shares_report_every_loss_once() {
        let plan = lamp();
        let mut places = Vec::new();
        for share in [(0, 2), (1, 2)] {
            let task = Task::Losses {
                empty: false,
                share,
            };
            answer(task, &plan, &mut |piece| {
                if let Answer::SomeLosses(more) = piece {
                    places.extend(more.into_iter().map(|(place, _)| place));
                }
            });
        }
        places.sort_unstable();
        let all: Vec<usize> = (0..crate::proof::all_losses(&plan).len()).collect();
        assert_eq!(places, all);
    }

    /// Lets so many steps pass, then wants no more.
    struct Impatient {
        left: Cell<u32>,
        said: RefCell<Vec<Answer>>,
    }

    impl Host for Impatient {
        fn say(&self, piece: Answer) {
            self.said.borrow_mut().push(piece);
        }

        fn pause(&self) -> Option<Pause> {
            self.left.set(self.left.get().saturating_sub(1));
            Some(Box::pin(std::future::ready(())))
        }

        fn is_stopped(&self) -> bool {
            self.left.get() == 0
        }
    }

    #[test]
    fn what_is_worked_out_in_steps_stops_at_the_next_one() {
        let study = Arc::new(Study::new(lamp()));
        for task in all() {
            if task.manner() != super::super::Manner::Stepwise {
                continue;
            }
            let host = Impatient {
                left: Cell::new(1),
                said: RefCell::default(),
            };
            let mut work = Box::pin(work(task.clone(), &study, &host));
            let polled = work.as_mut().poll(&mut Context::from_waker(Waker::noop()));
            assert!(polled.is_ready());
            // A plan without an exercise is soon graded, and an order that is none soon refused.
            let is_short = matches!(
                task,
                Task::Day(..) | Task::Pairs(_) | Task::OnSite(_) | Task::Grade
            ) || task == drafted("{}".into(), false);
            let is_whole = host.said.borrow().iter().any(Answer::is_last);
            assert!(is_short || !is_whole, "{task:?} went on");
        }
    }

    #[test]
    fn a_draft_that_was_stopped_goes_on_where_it_was() {
        let study = Arc::new(Study::new(lamp()));
        let mut steps = Vec::new();
        let mut whole = None;
        for patience in [1, 2, u32::MAX] {
            let host = Impatient {
                left: Cell::new(patience),
                said: RefCell::default(),
            };
            let task = drafted(lamp_order(), false);
            let mut work = Box::pin(work(task, &study, &host));
            let polled = work.as_mut().poll(&mut Context::from_waker(Waker::noop()));
            assert!(polled.is_ready());
            steps.push(super::super::drafting::steps_put_by());
            whole = host.said.borrow_mut().pop();
        }
        assert_eq!(steps, [Some(1), Some(3), None]);
        let mut at_once = None;
        answer(drafted(lamp_order(), false), &lamp(), &mut |piece| {
            at_once = Some(piece);
        });
        assert!(matches!(&at_once, Some(Answer::Drafted(said)) if said.is_ok()));
        assert_eq!(whole, at_once);
    }
}
