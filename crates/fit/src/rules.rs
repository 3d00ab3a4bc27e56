//! The table of rules, in the order a mechanic walks round the bike. One rule, one file.

pub mod arm_stay;
pub mod bar_in_stem;
pub mod bar_port;
pub mod bar_torque;
pub mod bar_width;
pub mod body_length;
pub mod body_spline;
pub mod bolt_circle;
pub mod bolt_engagement;
pub mod brake_fluid;
pub mod brake_inner_length;
pub mod brake_leverage;
pub(crate) mod brake_line;
pub mod brake_mount;
pub mod brake_reach;
pub mod cable_drag;
pub mod cable_head;
pub mod cable_stops;
pub mod cage_ground;
pub mod cage_in_every_pair;
pub mod caliper_bolt;
pub mod capacity;
pub mod carbon_bar;
pub mod chain_length;
pub mod chain_over_travel;
pub mod chain_rub;
pub mod chain_wear;
pub mod chain_width;
pub mod chainline;
pub mod cog_wear;
pub mod crank_for_rider;
pub mod crank_length;
pub mod e_assist;
pub mod fold_route;
pub mod fork_damage;
pub mod frame_damage;
pub mod frame_port;
pub mod freewheel_thread;
pub mod front_angle;
pub mod front_band;
pub mod front_brake_side;
pub mod front_cage;
pub mod front_cage_rub;
pub mod front_height;
pub mod front_hub;
pub mod front_pull;
pub mod front_rings;
pub mod front_travel;
pub mod hand_position;
pub mod hanger_bend;
pub mod hanger_mount;
pub mod hanger_thread;
pub mod headset;
pub mod headset_play;
pub mod housing_at_lock;
pub mod housing_kind;
pub mod housing_length;
pub mod hub_width;
pub mod index;
pub mod inner_kind;
pub mod inner_length;
pub mod largest_cog;
pub mod lever_on_bar;
pub mod lever_reach;
pub mod lever_to_bar;
pub mod old_bar;
pub mod old_chain;
pub mod old_hands;
pub mod old_hanger;
pub mod old_rear_chainline;
pub mod old_rollout;
pub mod old_shell;
pub mod old_spacer;
pub mod pad_wear;
pub mod parts_loosen;
pub mod pedal_thread;
pub mod post_insertion;
pub mod post_moves;
pub mod press_fit;
pub mod quill;
pub mod quill_insertion;
pub mod rear_axle;
pub mod rim_track;
pub mod rim_wear;
pub mod ring_bolt_room;
pub mod ring_gap;
pub mod ring_stay;
mod room;
pub mod rotor_mount;
pub mod rotor_size;
pub mod rotor_wear;
pub mod seatpost;
pub mod shell_press;
pub mod shell_thread;
pub mod shell_width;
pub mod shift_housing_at_lock;
pub mod shift_positions;
pub mod small_cog_gap;
pub mod spindle;
pub mod spindle_room;
pub mod spoke_gap;
pub mod stay_length;
pub mod stem_gap;
pub mod stem_on_steerer;
pub mod stud_height;
pub mod stud_spacing;
pub mod tape_length;
pub mod tyre_on_rim;
pub mod tyre_room;
pub mod wheel_size;
pub mod wheel_track;
pub(crate) mod wheels;
pub mod wish_lowest_gear;

use crate::rule::Rule;

/// Every rule.
pub static RULES: &[&Rule] = &[
    &body_spline::RULE,
    &body_length::RULE,
    &spoke_gap::RULE,
    &freewheel_thread::RULE,
    &small_cog_gap::RULE,
    &hub_width::RULE,
    &rear_axle::RULE,
    &front_hub::RULE,
    &tyre_room::RULE,
    &tyre_on_rim::RULE,
    &rim_track::RULE,
    &rim_wear::RULE,
    &rotor_mount::RULE,
    &rotor_size::RULE,
    &rotor_wear::RULE,
    &chain_wear::RULE,
    &cog_wear::RULE,
    &hanger_thread::RULE,
    &hanger_mount::RULE,
    &cage_ground::RULE,
    &wheel_size::RULE,
    &index::RULE,
    &shift_positions::RULE,
    &chain_width::RULE,
    &largest_cog::RULE,
    &capacity::RULE,
    &chain_length::RULE,
    &cage_in_every_pair::RULE,
    &chain_over_travel::RULE,
    &hanger_bend::RULE,
    &chain_rub::RULE,
    &shell_thread::RULE,
    &shell_width::RULE,
    &frame_damage::RULE,
    &fork_damage::RULE,
    &parts_loosen::RULE,
    &post_moves::RULE,
    &shell_press::RULE,
    &press_fit::RULE,
    &spindle_room::RULE,
    &bolt_circle::RULE,
    &ring_bolt_room::RULE,
    &ring_gap::RULE,
    &ring_stay::RULE,
    &arm_stay::RULE,
    &chainline::RULE,
    &stay_length::RULE,
    &front_angle::RULE,
    &front_pull::RULE,
    &pedal_thread::RULE,
    &seatpost::RULE,
    &post_insertion::RULE,
    &e_assist::RULE,
    &crank_for_rider::RULE,
    &spindle::RULE,
    &crank_length::RULE,
    &front_band::RULE,
    &front_height::RULE,
    &front_rings::RULE,
    &front_cage::RULE,
    &front_cage_rub::RULE,
    &front_travel::RULE,
    &brake_reach::RULE,
    &brake_leverage::RULE,
    &lever_to_bar::RULE,
    &pad_wear::RULE,
    &brake_mount::RULE,
    &caliper_bolt::RULE,
    &bolt_engagement::RULE,
    &stud_spacing::RULE,
    &stud_height::RULE,
    &brake_fluid::RULE,
    &front_brake_side::RULE,
    &bar_in_stem::RULE,
    &bar_torque::RULE,
    &bar_width::RULE,
    &carbon_bar::RULE,
    &bar_port::RULE,
    &quill::RULE,
    &quill_insertion::RULE,
    &stem_gap::RULE,
    &headset::RULE,
    &headset_play::RULE,
    &lever_reach::RULE,
    &cable_stops::RULE,
    &frame_port::RULE,
    &housing_kind::RULE,
    &inner_kind::RULE,
    &cable_head::RULE,
    &inner_length::RULE,
    &brake_inner_length::RULE,
    &housing_length::RULE,
    &housing_at_lock::RULE,
    &shift_housing_at_lock::RULE,
    &fold_route::RULE,
    &stem_on_steerer::RULE,
    &lever_on_bar::RULE,
    &hand_position::RULE,
    &cable_drag::RULE,
    &tape_length::RULE,
    &wish_lowest_gear::RULE,
    &old_chain::RULE,
    &old_spacer::RULE,
    &old_shell::RULE,
    &old_rollout::RULE,
    &old_hanger::RULE,
    &old_bar::RULE,
    &old_hands::RULE,
    &old_rear_chainline::RULE,
    &wheel_track::RULE,
];

/// The rule with this key.
pub fn find(id: &str) -> Option<&'static Rule> {
    RULES.iter().copied().find(|rule| rule.id == id)
}
