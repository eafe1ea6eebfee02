#pragma once
#include <QString>

#include "critique/artist_record.h"

namespace armslength::app {

// A finding in the window's language. Titles, reasons and numbers come from the checks as they are.
[[nodiscard]] QString KindName(Kind kind);
[[nodiscard]] QString StageName(Stage stage);
[[nodiscard]] QString WayName(RemedyWay way);
// "very sure", ...; "" when the finding carries no certainty.
[[nodiscard]] QString CertaintyName(const Finding& finding);
[[nodiscard]] QString MinutesName(double minutes);
// "The smallest this view would show: 12 %"; "" when not known.
[[nodiscard]] QString SmallestVisible(const Finding& finding);
// "You have disagreed with this twice; it needs to be very sure now." "" without disagreement.
[[nodiscard]] QString WideningName(const Widening& widening);

}  // namespace armslength::app
