//! Writing an order: the file form that [`super::read_order`] reads, what is as it would be anyway left out.

use super::order::{DraftOrder, HouseSwitch, Keeps, Least, Wanted, WantedDuty};
use super::read::HEAD;
use crate::plan::Duty;
use crate::quantity::number;
use serde_json::{Map, Value, json};

impl DraftOrder {
    /// The order as JSON.
    pub fn to_value(&self) -> Value {
        let mut map = HEAD.written();
        map.insert("book".into(), self.book.written.clone());
        let world = self.world.write();
        if !world.is_empty() {
            map.insert("world".into(), Value::Object(world));
        }
        let wants = self.wants.iter().map(Wanted::to_value);
        map.insert("wants".into(), wants.collect());
        if let Some(may) = &self.may {
            map.insert("may".into(), json!(may));
        }
        if let Some(stage) = self.stage {
            map.insert("stage".into(), stage.into());
        }
        if !self.materials.is_empty() {
            map.insert("materials".into(), json!(self.materials));
        }
        let keeps = self.keeps.to_map();
        if !keeps.is_empty() {
            map.insert("keeps".into(), Value::Object(keeps));
        }
        if let Some(HouseSwitch { name, wants }) = &self.switch {
            map.insert("switch".into(), json!({ "name": name, "wants": wants }));
        }
        let least: Vec<&str> = self.least.iter().copied().map(Least::word).collect();
        map.insert("least".into(), json!(least));
        Value::Object(map)
    }

    /// The order as a file's text, laid out for reading.
    pub fn print(&self) -> String {
        let mut text = format!("{:#}", self.to_value());
        text.push('\n');
        text
    }
}

impl Wanted {
    fn to_value(&self) -> Value {
        let mut map = Map::new();
        map.insert("type".into(), self.kind.as_str().into());
        if !self.name.is_empty() {
            map.insert("name".into(), self.name.as_str().into());
        }
        if self.count != 1 {
            map.insert("count".into(), self.count.into());
        }
        map.extend(self.duty.map(|duty| ("duty".into(), duty.to_value())));
        Value::Object(map)
    }
}

impl WantedDuty {
    fn to_value(self) -> Value {
        let WantedDuty {
            when,
            only,
            grace_s,
        } = self;
        let duty = Duty {
            part: "p1".into(),
            when,
            only,
            grace_s,
            extra: Map::new(),
        };
        // A plan's duty also says whose it is.
        let mut value = duty.to_value();
        if let Value::Object(map) = &mut value {
            map.remove("part");
        }
        value
    }
}

impl Keeps {
    fn to_map(&self) -> Map<String, Value> {
        let mut map = Map::new();
        if self.dull_days > 0 {
            map.insert("dull_days".into(), self.dull_days.into());
        }
        if self.hours > 0.0 {
            map.insert("hours".into(), number(self.hours));
        }
        for (key, wants) in [("losses", &self.losses), ("reach", &self.reach)] {
            if !wants.is_empty() {
                map.insert(key.into(), json!(wants));
            }
        }
        map
    }
}

#[cfg(test)]
mod tests {
    use crate::draft::read_order;

    #[test]
    fn an_order_is_read_as_it_was_written() {
        let text = include_str!("../../assets/orders/tide-house.json");
        let mut order = read_order(text).expect("an order");
        order.keeps.dull_days = 2;
        order.keeps.hours = 7.5;
        order.keeps.losses = vec![1];
        order.keeps.reach = vec![0, 2];
        order.wants[2].count = 3;
        assert_eq!(read_order(&order.print()), Ok(order));
    }
}
