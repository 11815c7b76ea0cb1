//! The lists of a house as tables, for CSV and for the workbook.

mod flags;
mod lay;
mod order;
mod setout;

use crate::told::Told;
use ::order::Table;
use pipeline::House;

/// Every list, in the order in which they are worked from: pulls, rips, saw list, tapered rips, notches, lay list, order, figures,
/// materials where the plan names any, flags.
pub fn tables(house: &House) -> Vec<Table> {
    tables_of(&Told::new(house))
}

/// The same of a house of which something may have been asked already.
pub(crate) fn tables_of(house: &Told<'_>) -> Vec<Table> {
    let mut tables = vec![
        setout::pulls(house),
        setout::rips(house),
        ::order::saw_table(&house.plan, &house.floor, &house.fit, &house.order, house.shares()),
        ::order::taper_table(&house.floor, &house.order),
        ::order::notch_table(&house.floor, &house.order),
        lay::lay_list(house),
        order::order(house),
        order::figures(house),
    ];
    if house.plan.materials.is_some() {
        tables.push(::order::materials_table(house.materials()));
    }
    tables.push(flags::flags(house));
    tables
}
