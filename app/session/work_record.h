#pragma once
#include "app/session/document.h"
#include "journal/records.h"
#include "support/error.h"

namespace armslength::app {

// The artist's work as the journal keeps it, and back. Answers are keys of app/critique/arrange.h:
// a finding id, with "@FIGURE" when it is about one figure.
[[nodiscard]] SavedWork ToRecord(const Work& work);
// `picture`: what the marks belong to when the record has none yet. Errors: marks that cannot be read.
[[nodiscard]] Result<Work> FromRecord(const SavedWork& saved, const MarkedPicture& picture);

}  // namespace armslength::app
