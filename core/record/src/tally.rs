//! Hours, costs and stock: exact sums of rounded lines, each line leading to its entry.

use std::collections::BTreeMap;

use crate::standing::stint_hours;
use crate::word::{Fate, Work};
use crate::{Body, Decimal, Entry, Id, Index, Money, Quantity, Snapshot};

/// The hours of one stint, as they are printed.
#[derive(Debug, Clone, PartialEq)]
pub struct HourLine {
    /// The stint.
    pub entry: Id,
    /// Who worked.
    pub person: Id,
    /// For which repair.
    pub repair: Option<Id>,
    /// At which place.
    pub place: Option<Id>,
    /// What kind of work.
    pub work: Option<Work>,
    /// Hours, rounded to a hundredth.
    pub hours: Decimal,
    /// The hours at the other values, where a figure is disputed; empty otherwise.
    pub disputed: Vec<Decimal>,
}

/// What a cost is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Sort {
    /// Material that was used.
    Material,
    /// Anything else.
    Other,
}

/// One cost, as it is printed.
#[derive(Debug, Clone, PartialEq)]
pub struct CostLine {
    /// The material or cost entry.
    pub entry: Id,
    /// Material or other.
    pub sort: Sort,
    /// What for.
    pub what: String,
    /// For which repair.
    pub repair: Option<Id>,
    /// At which place.
    pub place: Option<Id>,
    /// How much of the material.
    pub quantity: Option<Quantity>,
    /// The price, tax included, rounded to the currency's smaller unit; none where no price is known.
    pub money: Option<Money>,
    /// The price at the other values, where a figure is disputed; empty otherwise.
    pub disputed: Vec<Money>,
}

/// What became of one purchase.
#[derive(Debug, Clone, PartialEq)]
pub struct StockLine {
    /// The purchase.
    pub entry: Id,
    /// What was bought.
    pub what: String,
    /// The unit of all amounts.
    pub unit: String,
    /// How much was bought.
    pub bought: Decimal,
    /// How much of it was used.
    pub used: Decimal,
    /// How much was returned.
    pub returned: Decimal,
    /// How much was disposed of.
    pub disposed: Decimal,
    /// What is left; negative where more went than came.
    pub left: Decimal,
    /// What was paid for it, tax included, rounded; none where no price is known.
    pub paid: Option<Money>,
}

/// Hours, costs and stock of a log, each list in id order.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Tally {
    /// One line a stint that has ended.
    pub hours: Vec<HourLine>,
    /// One line a material used and a cost.
    pub costs: Vec<CostLine>,
    /// One line a purchase.
    pub stock: Vec<StockLine>,
}

/// Works out hours, costs and stock. Struck entries count nothing.
#[must_use]
pub fn tally(snapshot: &Snapshot, index: &Index) -> Tally {
    let mut out = Tally::default();
    for entry in snapshot.standing() {
        match &entry.body {
            Body::Stint(stint) => {
                if let Some(hours) = stint_hours(stint) {
                    out.hours.push(HourLine {
                        entry: entry.id,
                        person: stint.person.unwrap_or(entry.statement.hand),
                        repair: stint.repair,
                        place: index.place_of(snapshot, entry.id),
                        work: stint.work.clone(),
                        hours,
                        disputed: other_values(entry, &hours, |body| match body {
                            Body::Stint(stint) => stint_hours(stint),
                            _ => None,
                        }),
                    });
                }
            }
            Body::Material(material) if material.fate == Some(Fate::Used) => {
                let money = material_price(snapshot, &entry.body);
                out.costs.push(CostLine {
                    entry: entry.id,
                    sort: Sort::Material,
                    what: material.what.clone().unwrap_or_default(),
                    repair: material
                        .repair
                        .or_else(|| repair_of_step(snapshot, material.step)),
                    place: index.place_of(snapshot, entry.id),
                    quantity: material.quantity.clone(),
                    disputed: other_values(entry, &money, |body| {
                        Some(material_price(snapshot, body))
                    })
                    .into_iter()
                    .flatten()
                    .collect(),
                    money,
                });
            }
            Body::Material(material) if material.fate == Some(Fate::Bought) => out
                .stock
                .extend(stock_line(snapshot, index, entry, material)),
            Body::Cost(cost) => {
                let price = |body: &Body| match body {
                    Body::Cost(cost) => cost
                        .amount
                        .as_ref()
                        .and_then(|money| with_tax(money, None, cost.tax)),
                    _ => None,
                };
                let money = price(&entry.body);
                out.costs.push(CostLine {
                    entry: entry.id,
                    sort: Sort::Other,
                    what: cost.what.clone().unwrap_or_default(),
                    repair: cost.repair,
                    place: index.place_of(snapshot, entry.id),
                    quantity: None,
                    disputed: other_values(entry, &money, |body| Some(price(body)))
                        .into_iter()
                        .flatten()
                        .collect(),
                    money,
                });
            }
            _ => {}
        }
    }
    out
}

fn repair_of_step(snapshot: &Snapshot, step: Option<Id>) -> Option<Id> {
    match &snapshot.entry(step?)?.body {
        Body::Step(step) => step.repair,
        _ => None,
    }
}

/// The figure at each disputed value other than the one that counts.
fn other_values<T: PartialEq>(
    entry: &Entry,
    counted: &T,
    figure: impl Fn(&Body) -> Option<T>,
) -> Vec<T> {
    let mut out = Vec::new();
    for (field, versions) in entry.disputes() {
        for version in versions.iter().skip(1) {
            if let Some(value) = figure(&entry.body_with(field, &version.value))
                && value != *counted
                && !out.contains(&value)
            {
                out.push(value);
            }
        }
    }
    out
}

/// The price of an amount, tax included, rounded once to the currency's smaller unit.
fn with_tax(price: &Money, amount: Option<Decimal>, tax: Option<Decimal>) -> Option<Money> {
    let net = match amount {
        Some(amount) => price.amount.times(amount)?,
        None => price.amount,
    };
    let gross = match tax {
        Some(tax) => net.times(Decimal(
            rust_decimal::Decimal::ONE.checked_add(tax.0.checked_div(100.into())?)?,
        ))?,
        None => net,
    };
    Some(Money {
        amount: gross.rounded(Money::places(&price.currency)),
        currency: price.currency.clone(),
    })
}

/// What a material cost: by its own price, else by that of the purchase it was taken from.
fn material_price(snapshot: &Snapshot, body: &Body) -> Option<Money> {
    let Body::Material(material) = body else {
        return None;
    };
    if let Some(price) = &material.price {
        return with_tax(price, None, material.tax);
    }
    let quantity = material.quantity.as_ref()?;
    if let Some(price) = &material.unit_price {
        return with_tax(price, Some(quantity.value), material.tax);
    }
    let Body::Material(purchase) = &snapshot.entry(material.from?)?.body else {
        return None;
    };
    let of_purchase = quantity.converted(&purchase.quantity.as_ref()?.unit)?;
    match (&purchase.unit_price, &purchase.price) {
        (Some(price), _) => with_tax(price, Some(of_purchase.value), purchase.tax),
        (None, Some(price)) => {
            let share = of_purchase
                .value
                .0
                .checked_div(purchase.quantity.as_ref()?.value.0)?;
            with_tax(price, Some(Decimal(share)), purchase.tax)
        }
        _ => None,
    }
}

fn stock_line(
    snapshot: &Snapshot,
    index: &Index,
    entry: &Entry,
    purchase: &crate::kind::work::Material,
) -> Option<StockLine> {
    let bought = purchase.quantity.clone()?;
    let mut went: BTreeMap<&str, Decimal> = BTreeMap::new();
    for taken in index.by_field(snapshot, entry.id, "from") {
        if let Body::Material(material) = &taken.body
            && let (Some(fate), Some(quantity)) = (&material.fate, &material.quantity)
            && let Some(amount) = quantity.converted(&bought.unit)
        {
            let sum = went.entry(match fate {
                Fate::Used => "used",
                Fate::Returned => "returned",
                Fate::Disposed => "disposed",
                _ => continue,
            });
            let sum = sum.or_default();
            *sum = sum.plus(amount.value)?;
        }
    }
    let of = |fate: &str| went.get(fate).copied().unwrap_or_default();
    let left = bought.value.0 - of("used").0 - of("returned").0 - of("disposed").0;
    Some(StockLine {
        entry: entry.id,
        what: purchase.what.clone().unwrap_or_default(),
        paid: match (&purchase.unit_price, &purchase.price) {
            (Some(price), _) => with_tax(price, Some(bought.value), purchase.tax),
            (None, Some(price)) => with_tax(price, None, purchase.tax),
            _ => None,
        },
        unit: bought.unit,
        bought: bought.value,
        used: of("used"),
        returned: of("returned"),
        disposed: of("disposed"),
        left: Decimal(left),
    })
}

/// The exact sum of hours.
#[must_use]
pub fn sum_hours<'a>(lines: impl IntoIterator<Item = &'a HourLine>) -> Decimal {
    Decimal(lines.into_iter().map(|line| line.hours.0).sum()).rounded(2)
}

/// The exact sums of costs, by currency.
#[must_use]
pub fn sum_costs<'a>(lines: impl IntoIterator<Item = &'a CostLine>) -> BTreeMap<String, Decimal> {
    let mut sums: BTreeMap<String, Decimal> = BTreeMap::new();
    for money in lines.into_iter().filter_map(|line| line.money.as_ref()) {
        let sum = sums.entry(money.currency.clone()).or_default();
        *sum = Decimal(sum.0 + money.amount.0).rounded(Money::places(&money.currency));
    }
    sums
}

/// Hours gathered by whatever a line is asked for: person, place, repair, kind of work.
pub fn hours_by<K: Ord>(lines: &[HourLine], key: impl Fn(&HourLine) -> K) -> BTreeMap<K, Decimal> {
    let mut sums: BTreeMap<K, Decimal> = BTreeMap::new();
    for line in lines {
        let sum = sums.entry(key(line)).or_default();
        *sum = Decimal(sum.0 + line.hours.0).rounded(2);
    }
    sums
}
