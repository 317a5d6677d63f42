//! What a person relies on, in one binary: a module for each thing proved.

mod bearing_tables;
mod belt_stock;
mod bodies;
mod bracket_holding;
mod bracket_remedies;
mod bracket_shape;
mod example_is_current;
mod job_files;
mod plate_checks;
mod plate_layout;
mod plate_shape;
mod plates;
mod shop_commands;
mod shop_files;
mod sleeve_lands;
mod sleeve_shape;
mod solid_features;
mod solid_joining;
mod solid_measures;
mod solid_second_opinion;
mod solid_sweep;
