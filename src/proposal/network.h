#pragma once
#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include <opencv2/core.hpp>

#include "support/error.h"

namespace armslength {

// Packed weights (training/packed.py) back to the ONNX bytes that OpenCV reads. Errors: kInternal.
[[nodiscard]] Result<std::string> ExpandWeights(std::string_view packed);

struct NetworkOutput {
  std::vector<cv::Mat> maps;  // one CV_32F square of logits a channel
  std::vector<float> aux;     // logits
};

// One of the two networks, loaded at first use and kept. Run is thread-safe (callers take turns) and
// deterministic: the same picture gives the same numbers whatever the number of threads.
class Network {
 public:
  // Process-wide. Errors: kInternal when the weights do not load.
  [[nodiscard]] static Result<Network*> Body();
  [[nodiscard]] static Result<Network*> Head();

  // `bgr`: 8-bit square of side Side().
  [[nodiscard]] NetworkOutput Run(const cv::Mat& bgr);
  [[nodiscard]] int Side() const { return side_; }

  Network(std::string_view packed, int side);
  ~Network();
  Network(const Network&) = delete;
  Network& operator=(const Network&) = delete;

 private:
  struct Loaded;
  std::unique_ptr<Loaded> loaded_;
  std::string trouble_;
  int side_;
};

}  // namespace armslength
