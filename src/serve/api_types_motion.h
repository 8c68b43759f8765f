// SPDX-License-Identifier: Apache-2.0
// Descriptions of draw/motion.h and of recording_marks.h, and the plain numbers in them.
#pragma once

#include "draw/motion.h"
#include "serve/api_types.h"
#include "serve/recording_marks.h"

namespace tautmark {

template <>
struct TypeOf<double> {
  static const TypeInfo& get();
};

TAUTMARK_API_TYPE(MotionMark, "motion mark", "The mark of a wheel.")
TAUTMARK_API_TYPE(MotionWheel, "motion wheel", "A wheel, as it stands with the crank at its marks.")
TAUTMARK_API_TYPE(MotionPiece, "motion piece", "An arc or a straight piece of a chain's way.")
TAUTMARK_API_TYPE(MotionMarkedLink, "motion marked link", "A marked link.")
TAUTMARK_API_TYPE(MotionStrand, "motion strand", "A strand between two wheels.")
TAUTMARK_API_TYPE(MotionChain, "motion chain", "A chain or belt and the way it runs.")
TAUTMARK_API_TYPE(MotionArc, "motion arc", "A guide or the shoe of an arm.")
TAUTMARK_API_TYPE(MotionPlunger, "motion plunger", "The plunger of a tensioner.")
TAUTMARK_API_TYPE(Motion, "motion",
                  "A drive to be turned in a picture: places in mm seen from the front, x to the "
                  "right, y up; clock angles in degrees clockwise from straight up.")
TAUTMARK_API_TYPE(DecodedMark, "decoded mark", "A decoded edge.")
TAUTMARK_API_TYPE(DecodedMarks, "decoded marks", "The decoded edges of a stretch of time.")

}  // namespace tautmark
