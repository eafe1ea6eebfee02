#pragma once
#include <QString>

#include "marks/names.h"

namespace armslength::app {

// Names of marks in the window's language ("left elbow"), from the names module's English.
[[nodiscard]] QString Spoken(PointId id);
[[nodiscard]] QString Spoken(BoneId id);

}  // namespace armslength::app
