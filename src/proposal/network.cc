#include "proposal/network.h"

#include <cstring>
#include <mutex>

#include <fmt/format.h>
#include <opencv2/dnn.hpp>

#include "proposal/weights.h"

namespace armslength {
namespace {

constexpr std::string_view kMagic = "ALPACK02";

std::uint32_t Word(std::string_view bytes, std::size_t at) {
  std::uint32_t v = 0;
  std::memcpy(&v, bytes.data() + at, sizeof v);
  return v;
}

tl::unexpected<Error> Damaged(std::string_view what) {
  return Fail(ErrorKind::kInternal, "", "", fmt::format("the weights inside the program are damaged: {}", what),
              "Install the program again");
}

// OpenCV shares small convolutions out differently on more threads, which changes the last digits; on one thread the same
// picture always gives the same numbers. What else runs OpenCV meanwhile is only slower.
class OneThread {
 public:
  OneThread() : before_(cv::getNumThreads()) { cv::setNumThreads(1); }
  ~OneThread() { cv::setNumThreads(before_); }
  OneThread(const OneThread&) = delete;
  OneThread& operator=(const OneThread&) = delete;

 private:
  int before_;
};

// One turn for all networks: the number of threads is a setting of the whole program.
std::mutex& Turn() {
  static std::mutex turn;
  return turn;
}

}  // namespace

Result<std::string> ExpandWeights(std::string_view packed) {
  if (packed.size() < 16 || packed.substr(0, 8) != kMagic) return Damaged("no weights here");
  const std::size_t size = Word(packed, 8), count = Word(packed, 12), table = 16, body = table + 12 * count;
  if (count > 10'000 || body > packed.size() || size > (std::size_t{1} << 28)) return Damaged("impossible sizes");
  struct Tensor {
    std::size_t at, length, rows;
    std::size_t Numbers() const { return length / 4; }
    std::size_t Packed() const { return rows == 0 ? 2 * Numbers() : 4 * rows + Numbers(); }
  };
  std::vector<Tensor> tensors;
  std::size_t gaps = 0, last = 0, small = 0;
  for (std::size_t i = 0; i < count; ++i) {
    const std::size_t entry = table + 12 * i;
    const Tensor t{Word(packed, entry), Word(packed, entry + 4), Word(packed, entry + 8)};
    if (t.at < last || t.length % 4 != 0 || t.at + t.length > size) return Damaged("tensors out of order");
    if (t.rows > t.Numbers() || (t.rows > 0 && t.Numbers() % t.rows != 0)) return Damaged("a tensor that does not divide by its channels");
    last = t.at + t.length;
    gaps += t.length;
    small += t.Packed();
    tensors.push_back(t);
  }
  if (packed.size() != body + (size - gaps) + small) return Damaged("cut short");
  std::string out(size, '\0');
  const char* rest = packed.data() + body;
  const char* from = rest + (size - gaps);
  std::size_t to = 0;
  for (const Tensor& t : tensors) {
    std::memcpy(out.data() + to, rest, t.at - to);
    rest += t.at - to;
    if (t.rows == 0) {
      cv::Mat half(1, static_cast<int>(t.Numbers()), CV_16F), whole;
      std::memcpy(half.data, from, t.Packed());
      half.convertTo(whole, CV_32F);
      std::memcpy(out.data() + t.at, whole.data, t.length);
    } else {
      const std::size_t each = t.Numbers() / t.rows;
      std::vector<float> scale(t.rows), whole(t.Numbers());
      std::memcpy(scale.data(), from, 4 * t.rows);
      const auto* bytes = reinterpret_cast<const signed char*>(from + 4 * t.rows);
      for (std::size_t i = 0; i < whole.size(); ++i) whole[i] = scale[i / each] * static_cast<float>(bytes[i]);
      std::memcpy(out.data() + t.at, whole.data(), t.length);
    }
    from += t.Packed();
    to = t.at + t.length;
  }
  std::memcpy(out.data() + to, rest, size - to);
  return out;
}

struct Network::Loaded {
  cv::dnn::Net net;
  std::vector<std::string> outputs{"maps", "aux"};
};

Network::Network(std::string_view packed, int side) : side_(side) {
  auto bytes = ExpandWeights(packed);
  if (!bytes) {
    trouble_ = bytes.error().cause;
    return;
  }
  try {
    auto loaded = std::make_unique<Loaded>();
    loaded->net = cv::dnn::readNetFromONNX(bytes->data(), bytes->size());
    loaded->net.setPreferableBackend(cv::dnn::DNN_BACKEND_OPENCV);
    loaded->net.setPreferableTarget(cv::dnn::DNN_TARGET_CPU);
    loaded_ = std::move(loaded);
  } catch (const cv::Exception& e) {
    trouble_ = e.what();
  }
}
Network::~Network() = default;

Result<Network*> Network::Body() {
  static Network network(BodyWeights(), 256);
  if (!network.loaded_) return Damaged(network.trouble_);
  return &network;
}

Result<Network*> Network::Head() {
  static Network network(HeadWeights(), 160);
  if (!network.loaded_) return Damaged(network.trouble_);
  return &network;
}

NetworkOutput Network::Run(const cv::Mat& bgr) {
  const cv::Mat blob = cv::dnn::blobFromImage(bgr, 1.0 / 255.0, cv::Size(side_, side_), cv::Scalar(), true);
  std::vector<cv::Mat> out;
  NetworkOutput result;
  const std::lock_guard lock(Turn());
  const OneThread one_thread;
  loaded_->net.setInput(blob);
  loaded_->net.forward(out, loaded_->outputs);
  const cv::Mat& maps = out[0];
  for (int c = 0; c < maps.size[1]; ++c)
    result.maps.push_back(cv::Mat(maps.size[2], maps.size[3], CV_32F, const_cast<float*>(maps.ptr<float>(0, c))).clone());
  result.aux.assign(out[1].ptr<float>(), out[1].ptr<float>() + out[1].total());
  return result;
}

}  // namespace armslength
