// SPDX-License-Identifier: Apache-2.0
#include "draw/recording_plot.h"
