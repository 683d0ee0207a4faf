//! What each screen prints: strings and numbers ready to show, one file per screen.
//!
//! The head of each file lists the forms of its screen: method, address and fields.
pub mod catch_up;
pub mod change_wish;
pub mod check;
pub mod court_call;
pub mod court_times;
pub mod delegates;
pub mod device;
pub mod floor;
pub mod floor_drawing;
pub mod frame_record;
pub mod hand_in;
pub mod hand_out;
pub mod machine_book;
pub mod methods;
pub mod next_up;
pub mod paper;
pub mod paper_kit;
pub mod photos;
pub mod plan;
pub mod setup;
pub mod sign_in;
pub mod slip;
pub mod snags;
pub mod stock;
pub mod story;
pub mod styleguide;
pub mod test_page;
pub mod tomorrow;
pub mod wall;
pub mod your_rackets;
