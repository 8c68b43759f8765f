// SPDX-License-Identifier: Apache-2.0
#include "draw/drive_svg.h"

#include <gtest/gtest.h>
