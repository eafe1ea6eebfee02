#include "picture/decode.h"

namespace armslength {

Result<Picture> DecodeOpenRaster(const DecodeJob& job) {
  return Fail(ErrorKind::kInternal, job.file, job.place, "OpenRaster reading is not written yet", "");
}

Result<std::string> EncodeOpenRaster(int, int, const std::vector<OpenRasterLayer>&) {
  return Fail(ErrorKind::kInternal, "", "", "OpenRaster writing is not written yet", "");
}

}  // namespace armslength
