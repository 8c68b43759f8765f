// SPDX-License-Identifier: Apache-2.0
// Drawings: values on their limits, the drive turned by hand, recordings, photos counted on.
export const see = {
  bar_no_value: "no value",
  bar_no_limit: "no limit",
  bar_far_below: "far below the limit, past the break in the axis",
  bar_far_above: "far above the limit, past the break in the axis",
};
