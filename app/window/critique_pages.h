#pragma once
#include <QString>

#include "app/critique/arrange.h"
#include "app/session/document.h"

namespace armslength::app {

// The critique on pages of A4, for print or a folder: the picture with what was measured, the
// first three with their crops, the rest as lines, the artist's notes. Empty: done, else what is
// wrong (the file cannot be written). Written beside and renamed.
[[nodiscard]] QString WriteCritiquePdf(const QString& path, const Arranged& shown, const Document& document);

}  // namespace armslength::app
