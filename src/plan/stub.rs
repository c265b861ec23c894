//! Stand-in.
use super::{Edit, Plan};
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
/// x
pub enum Impact { /// x
 Place, /// x
 Words, /// x
 Power }
impl Edit { /// x
 pub fn impact(&self) -> Impact { match self { Edit::MovePart(..)|Edit::Bend(..)=>Impact::Place, Edit::Rename(..)|Edit::Title(_)|Edit::Notes(_)=>Impact::Words, _=>Impact::Power } } }
impl Plan { /// x
 pub fn fingerprint(&self) -> String { let mut p=self.clone(); p.title.clear(); p.notes.clear(); p.next=(0,0); p.parts.iter_mut().for_each(|x|{x.at=None;x.name.clear();}); p.wires.iter_mut().for_each(|w|w.bends.clear()); format!("{p:?}") } }
