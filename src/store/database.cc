// SPDX-License-Identifier: Apache-2.0
#include "store/database.h"
namespace tautmark {
}
