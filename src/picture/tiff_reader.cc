#include "picture/decode.h"

namespace armslength {

Result<Decoded> DecodeTiff(const DecodeJob& job) {
  return Fail(ErrorKind::kInternal, job.file, job.place, "TIFF reading is not written yet", "");
}

}  // namespace armslength
