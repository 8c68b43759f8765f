// SPDX-License-Identifier: Apache-2.0
// The parts of drive_svg, each in its own file. Shapes are drawn first, texts placed afterwards:
// every part tells the labels what to keep clear of.
#pragma once

#include <string>

#include "draw/sheet.h"

namespace tautmark::draw {

// sift.cc: a copy without what has no finite, sensible place; each thing left out is named in the
// notes, so that nothing is missing in silence.
Figure sifted(const Figure& figure);

// wheel.cc
void draw_wheels(Sheet& sheet);
void draw_casting_pointers(Sheet& sheet);
void draw_errors(Sheet& sheet);  // dimension from where the mark should be to where it is
// Under a belt: named by one of its strands, or by no strand at all where there are only belts.
bool is_belt_wheel(const Figure& figure, const FigureWheel& wheel);
Length chain_pitch_at(const Figure& figure, const FigureWheel& wheel);
double pitch_units(const Sheet& sheet, const FigureWheel& wheel);
double pitch_units(const Sheet& sheet);  // of the first chain: what guides and tensioners go by

// tooth_form.cc: outline of a sprocket about (0, 0), the middle of tooth 0 straight up.
Path sprocket_outline(int teeth, double pitch_radius, double pitch);
Path belt_pulley_outline(int teeth, double pitch_radius, double pitch);

// guide.cc, tensioner.cc
void draw_arcs(Sheet& sheet);
void draw_tensioners(Sheet& sheet);

// chain.cc
double link_length(const Sheet& sheet, const FigureChain& chain);  // units, mean over the row
std::string link_shapes(double length, Paper paper);               // definitions of its shapes
std::string link_id(std::string_view shape, double length, Paper paper);
void draw_chains(Sheet& sheet);
void draw_link_tags(Sheet& sheet);
bool is_inside_right_of_travel(const Sheet& sheet, const FigureChain& chain);

// names.cc
void draw_rotation(Sheet& sheet);
void name_rotation(Sheet& sheet);
void name_banks(Sheet& sheet);
void name_wheels(Sheet& sheet);
void name_strands(Sheet& sheet);
void name_arcs(Sheet& sheet);        // guide.cc
void name_tensioners(Sheet& sheet);  // tensioner.cc
void name_errors(Sheet& sheet);
void number_links(Sheet& sheet);

}  // namespace tautmark::draw
