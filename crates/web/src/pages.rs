//! The rooms of the app, one file each. A room has its routes and makes its pages; it holds no rule.

pub(crate) mod live;
pub(crate) mod look;

mod board;
mod calendar;
mod customers;
mod enquiry;
pub(crate) mod job;
mod shop;
mod sign_in;
mod tables;

use crate::routes::Route;

/// The routes of every room.
pub(crate) const ROOMS: &[fn() -> Vec<Route>] = &[
    look::routes,
    sign_in::routes,
    board::routes,
    enquiry::routes,
    customers::routes,
    job::routes,
    shop::routes,
    tables::routes,
    calendar::routes,
];
