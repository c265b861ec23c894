//! Which worker of a small pool works at which question: a state machine without workers. It is told what happens and
//! answers with what is to be done. Times are milliseconds of any steady clock.
//!
//! - The lowest number of priority goes first; among equals the oldest.
//! - Questions that may take long never take all workers; a more urgent one takes the place of another, which begins anew.
//! - Where all are busy, an urgent question interrupts one that is worked out in steps, which then goes on.
//! - A question that is stopped leaves at once. A worker that does not notice within [`GRACE`] is ended; what it was also
//!   at begins anew.
//! - A worker without work is ended after [`IDLE`].

use super::task::Manner;

/// How long a worker may take to notice that a question was stopped.
pub const GRACE: f64 = 80.0;

/// How long a worker is kept without work.
pub const IDLE: f64 = 30_000.0;

/// A question to be answered by some worker.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Order<P> {
    /// Its number, never given twice.
    pub number: u64,
    /// Lower goes first.
    pub priority: u8,
    /// How it is worked out.
    pub manner: Manner,
    /// The plan that it is about.
    pub about: P,
}

/// What is to be done.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Action {
    /// Start this worker; say when it is ready.
    Start(usize),
    /// End this worker.
    End(usize),
    /// Give this worker the question of this number; with its plan, if the worker has not got it.
    Ask {
        /// The worker.
        worker: usize,
        /// The question's number.
        number: u64,
        /// Whether the plan goes along.
        with_plan: bool,
    },
    /// Tell this worker that the question of this number is stopped.
    Stop {
        /// The worker.
        worker: usize,
        /// The question's number.
        number: u64,
    },
    /// The question of this number begins anew: what was heard of its answer is void.
    Anew(u64),
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum State {
    Absent,
    Starting,
    Ready,
}

/// A question that a worker is at.
#[derive(Clone, Copy, Debug)]
struct Running<P> {
    order: Order<P>,
    /// Since when it is stopped, where it is.
    stopped: Option<f64>,
}

#[derive(Debug)]
struct Worker<P> {
    state: State,
    /// What it is at: one question, or a second that interrupts the first.
    running: Vec<Running<P>>,
    /// The plan that it was given last.
    has: Option<P>,
    /// Since when it has no work.
    idle: f64,
}

impl<P> Default for Worker<P> {
    fn default() -> Worker<P> {
        Worker {
            state: State::Absent,
            running: Vec::new(),
            has: None,
            idle: 0.0,
        }
    }
}

/// The questions that wait, and the workers. `P` tells plans apart.
#[derive(Debug)]
pub struct Queue<P> {
    waiting: Vec<Order<P>>,
    workers: Vec<Worker<P>>,
    /// Whether the program is known to start.
    starts: bool,
}

impl<P: Copy + PartialEq> Queue<P> {
    /// A pool of so many workers, none of which is started yet.
    pub fn new(workers: usize) -> Queue<P> {
        Queue {
            waiting: Vec::new(),
            workers: (0..workers.max(1)).map(|_| Worker::default()).collect(),
            starts: false,
        }
    }

    /// A question comes.
    pub fn ask(&mut self, order: Order<P>) -> Vec<Action> {
        self.waiting.push(order);
        self.share_out()
    }

    /// A question that waits becomes more or less urgent.
    pub fn prefer(&mut self, number: u64, priority: u8) -> Vec<Action> {
        for order in &mut self.waiting {
            if order.number == number {
                order.priority = priority;
            }
        }
        self.share_out()
    }

    /// A question need not be answered any more.
    pub fn stop(&mut self, number: u64, now: f64) -> Vec<Action> {
        self.waiting.retain(|order| order.number != number);
        let Some((at, running)) = self.running(number) else {
            return Vec::new();
        };
        running.stopped.get_or_insert(now);
        match running.order.manner {
            Manner::Long => self.end(at),
            Manner::Quick => Vec::new(),
            Manner::Stepwise => vec![Action::Stop { worker: at, number }],
        }
    }

    /// A worker has started.
    pub fn ready(&mut self, worker: usize, now: f64) -> Vec<Action> {
        if let Some(worker) = self.workers.get_mut(worker) {
            self.starts = true;
            worker.state = State::Ready;
            worker.idle = now;
        }
        self.share_out()
    }

    /// A worker is done with a question, answered or stopped.
    pub fn over(&mut self, worker: usize, number: u64, now: f64) -> Vec<Action> {
        if let Some(worker) = self.workers.get_mut(worker) {
            worker.running.retain(|r| r.order.number != number);
            worker.idle = now;
        }
        self.share_out()
    }

    /// A worker broke off at its work: the questions that fail with it, and what is to be done.
    pub fn broken(&mut self, worker: usize) -> (Vec<u64>, Vec<Action>) {
        let failed = match self.workers.get_mut(worker) {
            Some(worker) => std::mem::take(worker).running,
            None => Vec::new(),
        };
        let failed = failed.iter().filter(|r| r.stopped.is_none());
        (failed.map(|r| r.order.number).collect(), self.share_out())
    }

    /// A worker could not be started: all questions that wait fail with it.
    pub fn unavailable(&mut self, worker: usize) -> Vec<u64> {
        if let Some(worker) = self.workers.get_mut(worker) {
            *worker = Worker::default();
        }
        self.starts = false;
        // Where another works already, what waits may wait for that.
        if self.workers.iter().any(|w| w.state == State::Ready) {
            return Vec::new();
        }
        self.waiting.drain(..).map(|order| order.number).collect()
    }

    /// Looks after what has taken too long.
    pub fn tick(&mut self, now: f64) -> Vec<Action> {
        let mut actions = Vec::new();
        for at in 0..self.workers.len() {
            let worker = &self.workers[at];
            let is_late = |r: &Running<P>| r.stopped.is_some_and(|since| now - since >= GRACE);
            let is_idle = worker.state == State::Ready && worker.running.is_empty();
            if worker.running.iter().any(is_late) || (is_idle && now - worker.idle >= IDLE) {
                actions.extend(self.end(at));
            }
        }
        actions
    }

    /// When [`Queue::tick`] is to be called next, if at all.
    pub fn next_tick(&self) -> Option<f64> {
        let times = self.workers.iter().flat_map(|worker| {
            let is_idle = worker.state == State::Ready && worker.running.is_empty();
            let late = worker.running.iter().filter_map(|r| r.stopped);
            late.map(|since| since + GRACE)
                .chain(is_idle.then_some(worker.idle + IDLE))
        });
        times.min_by(f64::total_cmp)
    }

    fn running(&mut self, number: u64) -> Option<(usize, &mut Running<P>)> {
        let all = self.workers.iter_mut().enumerate();
        let mut all = all.flat_map(|(at, w)| w.running.iter_mut().map(move |r| (at, r)));
        all.find(|(_, r)| r.order.number == number)
    }

    /// Ends a worker; what it was at and is still wanted waits again.
    fn end(&mut self, at: usize) -> Vec<Action> {
        let worker = std::mem::take(&mut self.workers[at]);
        let mut actions = vec![Action::End(at)];
        for running in worker.running.into_iter().filter(|r| r.stopped.is_none()) {
            actions.push(Action::Anew(running.order.number));
            self.waiting.push(running.order);
        }
        actions.extend(self.share_out());
        actions
    }

    /// Gives out what can be given out.
    fn share_out(&mut self) -> Vec<Action> {
        let mut actions = Vec::new();
        self.waiting.sort_by_key(|o| (o.priority, o.number));
        let mut at = 0;
        // Workers that are being started will take so many of those that wait.
        let starting = |w: &&Worker<P>| w.state == State::Starting;
        let mut promised = self.workers.iter().filter(starting).count();
        while at < self.waiting.len() {
            let order = self.waiting[at];
            if order.manner == Manner::Long && self.is_long_enough() {
                match self.less_urgent(&order) {
                    Some(worker) => actions.extend(self.end(worker)),
                    None => at += 1,
                }
            } else if let Some(worker) = self.place(&order) {
                self.waiting.remove(at);
                let with_plan = self.workers[worker].has != Some(order.about);
                self.workers[worker].has = Some(order.about);
                self.workers[worker].running.push(Running {
                    order,
                    stopped: None,
                });
                actions.push(Action::Ask {
                    worker,
                    number: order.number,
                    with_plan,
                });
            } else {
                if promised > 0 {
                    promised -= 1;
                } else if let Some(absent) = self.absent().filter(|_| self.may_start()) {
                    self.workers[absent].state = State::Starting;
                    actions.push(Action::Start(absent));
                }
                at += 1;
            }
        }
        actions
    }

    /// Whether one more worker may start: the first fetches the program, the others start from what it has compiled.
    fn may_start(&self) -> bool {
        self.starts || self.workers.iter().all(|w| w.state != State::Starting)
    }

    fn absent(&self) -> Option<usize> {
        self.workers.iter().position(|w| w.state == State::Absent)
    }

    /// Whether no more workers may be at what takes long.
    fn is_long_enough(&self) -> bool {
        let is_long = |r: &Running<P>| r.order.manner == Manner::Long;
        let busy = self
            .workers
            .iter()
            .filter(|w| w.running.iter().any(is_long));
        busy.count() >= self.workers.len().saturating_sub(1).max(1)
    }

    /// The worker that is at something that takes long, less urgent than this.
    fn less_urgent(&self, order: &Order<P>) -> Option<usize> {
        let is_less = |r: &Running<P>| {
            let is_wanted = r.stopped.is_none();
            is_wanted && r.order.manner == Manner::Long && r.order.priority > order.priority
        };
        self.workers
            .iter()
            .position(|w| w.running.iter().any(is_less))
    }

    /// The worker that takes a question now: one without work, best one that has its plan; or one that is at something
    /// less urgent that can wait.
    fn place(&self, order: &Order<P>) -> Option<usize> {
        let ready = || {
            let all = self.workers.iter().enumerate();
            all.filter(|(_, w)| w.state == State::Ready)
        };
        let free = ready().filter(|(_, w)| w.running.is_empty());
        let free = free.min_by_key(|(_, w)| w.has != Some(order.about));
        let waits = |w: &Worker<P>| match w.running.as_slice() {
            [one] => {
                one.order.manner == Manner::Stepwise
                    && one.stopped.is_none()
                    && one.order.priority > order.priority
                    && order.manner != Manner::Long
            }
            _ => false,
        };
        let interrupted = || {
            let all = ready().filter(|(_, w)| waits(w) && self.absent().is_none());
            all.max_by_key(|(_, w)| w.running[0].order.priority)
        };
        free.or_else(interrupted).map(|(at, _)| at)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn order(number: u64, priority: u8, manner: Manner) -> Order<u64> {
        Order {
            number,
            priority,
            manner,
            about: 1,
        }
    }

    fn quick(number: u64) -> Order<u64> {
        order(number, 1, Manner::Quick)
    }

    fn ask(worker: usize, number: u64, with_plan: bool) -> Action {
        Action::Ask {
            worker,
            number,
            with_plan,
        }
    }

    /// Two workers that are ready and have plan 1.
    fn ready() -> Queue<u64> {
        let mut queue = Queue::new(2);
        queue.ask(quick(100));
        queue.ask(quick(101));
        assert_eq!(queue.ready(0, 0.0), [ask(0, 100, true), Action::Start(1)]);
        queue.ready(1, 0.0);
        queue.over(0, 100, 0.0);
        queue.over(1, 101, 0.0);
        queue
    }

    #[test]
    fn workers_start_when_needed_and_are_used_again() {
        let mut queue = Queue::new(2);
        assert_eq!(queue.ask(quick(1)), [Action::Start(0)]);
        // The first fetches the program, from which the second then starts.
        assert_eq!(queue.ask(quick(2)), []);
        assert_eq!(queue.ask(quick(3)), []);
        assert_eq!(queue.ready(0, 0.0), [ask(0, 1, true), Action::Start(1)]);
        assert_eq!(queue.ready(1, 0.0), [ask(1, 2, true)]);
        assert_eq!(queue.over(0, 1, 1.0), [ask(0, 3, false)]);
        assert_eq!(queue.over(0, 3, 2.0), []);
        assert_eq!(queue.next_tick(), Some(2.0 + IDLE));
        assert_eq!(queue.tick(2.0 + IDLE), [Action::End(0)]);
        assert_eq!(queue.over(1, 2, 6.0), []);
        assert_eq!(queue.tick(6.0 + IDLE), [Action::End(1)]);
        assert_eq!(queue.next_tick(), None);
    }

    #[test]
    fn the_most_urgent_goes_first_and_a_plan_goes_over_once() {
        let mut queue = Queue::new(1);
        queue.ask(order(1, 5, Manner::Stepwise));
        queue.ask(order(2, 3, Manner::Stepwise));
        queue.ask(order(3, 4, Manner::Stepwise));
        assert_eq!(queue.prefer(1, 0), []);
        assert_eq!(queue.ready(0, 0.0), [ask(0, 1, true)]);
        assert_eq!(queue.over(0, 1, 0.0), [ask(0, 2, false)]);
        let other = Order {
            about: 2,
            ..order(4, 3, Manner::Quick)
        };
        queue.ask(other);
        assert_eq!(queue.over(0, 2, 0.0), [ask(0, 4, true)]);
        assert_eq!(queue.over(0, 4, 0.0), [ask(0, 3, true)]);
    }

    #[test]
    fn the_urgent_interrupts_what_goes_in_steps_where_all_are_busy() {
        let mut queue = ready();
        queue.ask(order(1, 5, Manner::Stepwise));
        queue.ask(order(2, 4, Manner::Stepwise));
        assert_eq!(queue.ask(quick(3)), [ask(0, 3, false)]);
        // One interruption at a time.
        assert_eq!(queue.ask(quick(4)), [ask(1, 4, false)]);
        assert_eq!(queue.ask(quick(5)), []);
        assert_eq!(queue.over(0, 3, 0.0), [ask(0, 5, false)]);
    }

    #[test]
    fn what_takes_long_leaves_a_worker_to_the_rest() {
        let mut queue = ready();
        assert_eq!(queue.ask(order(1, 3, Manner::Long)), [ask(0, 1, false)]);
        assert_eq!(queue.ask(order(2, 3, Manner::Long)), []);
        assert_eq!(queue.ask(quick(3)), [ask(1, 3, false)]);
        assert_eq!(queue.over(1, 3, 0.0), []);
        assert_eq!(queue.over(0, 1, 0.0), [ask(0, 2, false)]);
        // A more urgent one takes its place.
        let begun = [Action::End(0), Action::Anew(2), ask(1, 4, false)];
        assert_eq!(queue.ask(order(4, 2, Manner::Long)), begun);
        // With one worker alone it has that.
        let mut queue = Queue::new(1);
        queue.ask(order(1, 3, Manner::Long));
        assert_eq!(queue.ready(0, 0.0), [ask(0, 1, true)]);
    }

    #[test]
    fn what_is_stopped_leaves_and_a_worker_that_does_not_notice_is_ended() {
        let mut queue = ready();
        queue.ask(order(1, 5, Manner::Stepwise));
        let stop = Action::Stop {
            worker: 0,
            number: 1,
        };
        assert_eq!(queue.stop(1, 10.0), [stop]);
        assert_eq!(queue.tick(20.0), []);
        assert_eq!(queue.over(0, 1, 30.0), []);
        // One that waits is simply gone; one that takes long ends with its worker.
        queue.ask(order(2, 5, Manner::Long));
        queue.ask(order(3, 5, Manner::Long));
        assert_eq!(queue.stop(3, 40.0), []);
        assert_eq!(queue.stop(2, 40.0), [Action::End(0)]);
        // A quick one is left to end by itself, for a while.
        queue.ask(quick(4));
        assert_eq!(queue.stop(4, 50.0), []);
        assert_eq!(queue.next_tick(), Some(50.0 + GRACE));
        assert_eq!(queue.tick(50.0 + GRACE), [Action::End(1)]);
    }

    #[test]
    fn what_a_worker_was_also_at_begins_anew_when_it_is_ended() {
        let mut queue = ready();
        queue.ask(order(1, 5, Manner::Stepwise));
        queue.ask(order(2, 5, Manner::Stepwise));
        assert_eq!(queue.ask(quick(3)), [ask(1, 3, false)]);
        queue.stop(3, 0.0);
        let actions = queue.tick(GRACE);
        assert_eq!(actions, [Action::End(1), Action::Anew(2), Action::Start(1)]);
        assert_eq!(queue.ready(1, 0.0), [ask(1, 2, true)]);
    }

    #[test]
    fn a_program_that_cannot_be_had_fails_what_waits_and_is_tried_again() {
        let mut queue = Queue::new(2);
        queue.ask(quick(1));
        queue.ask(quick(2));
        assert_eq!(queue.unavailable(0), [1, 2]);
        assert!(queue.unavailable(1).is_empty());
        assert_eq!(queue.ask(quick(3)), [Action::Start(0)]);
        assert_eq!(queue.ready(0, 0.0), [ask(0, 3, true)]);
        assert_eq!(queue.broken(0), (vec![3], vec![]));
        assert_eq!(queue.ask(quick(4)), [Action::Start(0)]);
    }
}
