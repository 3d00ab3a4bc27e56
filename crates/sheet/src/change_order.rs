//! A change order on paper: one page for the customer.

use crate::typeset::{SheetError, SheetFiles};
use document::ChangeOrderDocument;
use serde_json::json;
use std::collections::BTreeMap;

/// The page of a change order, for [`Typesetter::pdf`](crate::Typesetter::pdf). Without a name there is a line to write it
/// on.
///
/// # Errors
/// [`SheetError::Template`] if the document cannot be written as JSON.
pub fn change_order(order: &ChangeOrderDocument, customer: Option<&str>) -> Result<SheetFiles, SheetError> {
    let order_json = serde_json::to_value(order).map_err(|why| SheetError::Template(why.to_string()))?;
    Ok(SheetFiles {
        title: format!("Change order: {}", order.name),
        template: include_str!("sheets/change_order.typ"),
        data: json!({ "least": 10, "name": order.name, "order": order_json, "customer": customer }),
        drawings: BTreeMap::new(),
    })
}
