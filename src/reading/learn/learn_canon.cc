#include "reading/learn/learn_canon.h"

#include <algorithm>
#include <cmath>
#include <optional>

#include <Eigen/Dense>

#include <fmt/format.h>

#include "geometry/order.h"
#include "reading/body/body_start.h"

namespace armslength {
namespace {

constexpr std::size_t kRows = 11;
using PerRow = std::array<double, kRows>;
enum Row : std::size_t { kHead, kNeck, kTrunk, kShoulders, kHips, kUpperArm, kForearm, kHand, kThigh, kShin, kFoot };

constexpr int kMaxRounds = 9;
constexpr double kSettled = 0.15;      // a last step this small against what is known of the mean, sd
constexpr double kStartSd = 0.15;      // how far an artist's canon may lie from the start, ln units
constexpr double kMaxStep = 0.3;
constexpr double kClip = 2.5;          // sd
constexpr double kTail = 5.0;          // freedoms of the t distribution that figures are taken to follow
constexpr double kSpreadWorth = 4.0;   // figures that the start's spread counts for
// What no number of figures takes away, by row: priors on pose and foreshortening that an
// artist's habits need not keep to. Chosen on synthetic figures so that stated and found
// errors agree; the tests check it on others.
constexpr PerRow kModelSd = {0.0, 0.05, 0.01, 0.04, 0.02, 0.015, 0.025, 0.03, 0.01, 0.015, 0.05};
constexpr double kMinSpread = 0.01, kMaxSpread = 0.25;

BoneId RowBone(std::size_t row) { return *BoneOfCanonName(CanonBoneNames()[row]); }

Canon WithLengths(const Canon& start, const PerRow& log_length) {
  Canon canon = start;
  for (std::size_t row = 0; row < kRows; ++row) {
    const BoneId bone = RowBone(row);
    canon[bone].length = canon[Mirrored(bone)].length = std::exp(log_length[row] - log_length[kHead]);
  }
  // The ankle follows the shin as in the start.
  canon.sole_to_ankle = start.sole_to_ankle * canon[BoneId::kShinL].length / start[BoneId::kShinL].length;
  canon.heads = StandingHeads(canon);
  return canon;
}

bool BothEndsMarked(const FigureMarks& marks, BoneId bone) {
  if (bone == BoneId::kTrunk)
    return marks.Has(PointId::kNeckPit) && (marks.Has(PointId::kHipL) || marks.Has(PointId::kHipR));
  const BoneEnds ends = Ends(bone);
  return marks.Has(ends.from) && marks.Has(ends.to);
}
bool EitherSideMarked(const FigureMarks& marks, BoneId left) {
  return BothEndsMarked(marks, left) || BothEndsMarked(marks, Mirrored(left));
}

// What figures say about some rows' ln lengths against the canon at hand, in normal form:
// information matrix and score. The trunk is the yardstick: its own row is never asked, since
// only ratios can be seen. The reading's model has room for eight columns, so two blocks
// are asked one after the other; of the second only neck and foot are new.
struct Block {
  std::vector<std::size_t> rows;
  std::vector<bool> taken;  // whether the row's answer is used
};
const std::array<Block, 2>& Blocks() {
  static const std::array<Block, 2> blocks = {
      Block{{kHead, kShoulders, kHips, kUpperArm, kForearm, kHand, kThigh, kShin}, std::vector<bool>(8, true)},
      Block{{kNeck, kFoot, kHead, kThigh, kShin}, {true, true, false, false, false}}};
  return blocks;
}

struct Said {
  Eigen::MatrixXd information;
  Eigen::VectorXd score;
};

// One figure's answer. Each row becomes a column of the reading's model with prior sd
// `search_sd`, which is taken out of the answer again.
std::optional<Said> Ask(const FigureMarks& marks, const Canon& canon, const Block& block, double search_sd) {
  const auto problem = body::MakeProblem(marks, body::ProportionsFrom(canon));
  if (!problem) return std::nullopt;
  body::BodyModel model{&*problem, {}, {}, {}};
  for (std::size_t row : block.rows) {
    body::LengthColumn column;
    const BoneId bone = RowBone(row);
    column.weight[body::At(bone)] = column.weight[body::At(Mirrored(bone))] = 1.0;
    column.sd = search_sd;
    model.columns.push_back(column);
  }
  auto basins = body::SolveFromLifts(model, 1);
  if (basins.empty()) return std::nullopt;
  body::Basin& basin = basins.front();
  body::Solve(model, basin, {.max_iterations = 60, .tolerance = 1e-7});
  body::NormalSink::Matrix covariance;
  body::Curvature(model, basin, &covariance);
  const auto n = static_cast<Eigen::Index>(block.rows.size());
  const Eigen::MatrixXd v = covariance.block(body::kFixedParams, body::kFixedParams, n, n);
  const Eigen::MatrixXd precision = v.llt().solve(Eigen::MatrixXd::Identity(n, n));
  Said said;
  said.information = precision - Eigen::MatrixXd::Identity(n, n) / (search_sd * search_sd);
  Eigen::VectorXd mode(n);
  for (Eigen::Index i = 0; i < n; ++i) mode[i] = basin.x[static_cast<std::size_t>(body::kFixedParams + i)];
  said.score = precision * mode;
  if (!said.information.allFinite() || !said.score.allFinite()) return std::nullopt;
  return said;
}

// The figures of one block together.
struct Pooled {
  Eigen::VectorXd step;
  Eigen::MatrixXd covariance;
  Eigen::VectorXd left_over2;  // sum over figures of (score - expected)^2 in units of its variance
  Eigen::VectorXd information, information2;
};

Pooled Pool(const std::vector<Said>& said, const Eigen::VectorXd& back_to_start) {
  const Eigen::Index n = back_to_start.size();
  const double start_precision = 1.0 / (kStartSd * kStartSd);
  Pooled pooled;
  // One odd figure must not pull the mean: figures that depart further than the model allows
  // count less (weights of the t distribution), and single rows are cut.
  pooled.step = Eigen::VectorXd::Zero(n);
  const Eigen::MatrixXd start_information = Eigen::MatrixXd::Identity(n, n) * start_precision;
  Eigen::LLT<Eigen::MatrixXd> llt(n);
  for (int round = 0; round < 6; ++round) {
    Eigen::VectorXd score = start_precision * back_to_start;
    Eigen::MatrixXd total = start_information;
    for (const Said& s : said) {
      Eigen::VectorXd departure = s.score - s.information * pooled.step;
      double weight = 1.0;
      if (round > 0) {
        const double distance2 = departure.dot((s.information + 0.1 * start_information).llt().solve(departure));
        weight = std::min(1.0, (kTail + static_cast<double>(n)) / (kTail + distance2));
        for (Eigen::Index i = 0; i < n; ++i) {
          const double limit = kClip * std::sqrt(std::max(0.0, s.information(i, i)));
          departure[i] = std::clamp(departure[i], -limit, limit);
        }
      }
      score += weight * (s.information * pooled.step + departure);
      total += weight * s.information;
    }
    llt.compute(total);
    pooled.step = llt.solve(score);
  }
  pooled.covariance = llt.solve(Eigen::MatrixXd::Identity(n, n));
  pooled.left_over2 = pooled.information = pooled.information2 = Eigen::VectorXd::Zero(n);
  for (const Said& s : said) {
    const Eigen::VectorXd departure = s.score - s.information * pooled.step;
    for (Eigen::Index i = 0; i < n; ++i) {
      const double info = std::max(0.0, s.information(i, i));
      const double limit2 = kClip * kClip * info;
      pooled.left_over2[i] += std::min(departure[i] * departure[i], limit2);
      pooled.information[i] += info;
      pooled.information2[i] += info * info;
    }
  }
  return pooled;
}

Error Stopped() { return {ErrorKind::kCancelled, "", "", "learning was stopped", "Start it again when you like"}; }

// The plain reading of every figure: which can be read, and how many heads high they are.
struct FirstLook {
  std::vector<FigureMarks> usable;
  std::vector<double> heads;
  std::vector<std::string> left_out;
};
Result<FirstLook> LookAt(std::span<const CanonExample> examples, const LearnCanonOptions& options) {
  std::vector<std::optional<Result<BodyReading>>> readings(examples.size());
  const BodyReadingOptions pose_only{.scan_hypotheses = false, .find_helpful_mark = false, .control = options.control};
  ParallelFor(static_cast<int>(examples.size()), options.threads, [&](int i) {
    const auto at = static_cast<std::size_t>(i);
    if (!options.control.Stopped()) readings[at] = ReadBody(examples[at].marks, nullptr, pose_only);
  });
  FirstLook look;
  for (std::size_t i = 0; i < examples.size(); ++i) {
    if (!readings[i] || options.control.Stopped()) return tl::unexpected(Stopped());
    if (!*readings[i]) return tl::unexpected(readings[i]->error());
    const BodyReading& reading = **readings[i];
    if (reading.usable) {
      look.usable.push_back(examples[i].marks);
      look.heads.push_back(reading.canon.heads);
    } else {
      look.left_out.push_back(fmt::format("{}, figure {}: {}", examples[i].file, examples[i].marks.name, reading.why_not));
    }
  }
  return look;
}

// Departures' variance is information + information^2 * (tau^2 - spread^2); solved for the
// spread tau from figure to figure and drawn to the start's where the figures are few.
double SpreadOf(const Pooled& pooled, Eigen::Index i, double spread, int figures) {
  if (figures < 2 || !(pooled.information2[i] > 0.0)) return spread;
  const double freedom = 1.0 - 1.0 / figures;  // one mean was fitted
  const double excess = (pooled.left_over2[i] / freedom - pooled.information[i]) / pooled.information2[i];
  const double tau2 = std::max(0.0, spread * spread + excess);
  // A figure that fixes the bone as closely as it varies counts as one.
  const double worth = pooled.information2[i] * std::pow(spread, 4);
  return std::clamp(std::sqrt((kSpreadWorth * spread * spread + worth * tau2) / (kSpreadWorth + worth)), kMinSpread,
                    kMaxSpread);
}

}  // namespace

Canon ConventionAt(double heads) {
  std::vector<const Canon*> row;
  for (const Canon& canon : BuiltInCanons())
    if (canon.name.starts_with("stylised-") || (canon.name.starts_with("adult-") && canon.name != "adult-average"))
      row.push_back(&canon);
  if (heads <= row.front()->heads) return *row.front();
  if (heads >= row.back()->heads) return *row.back();
  const auto upper = std::find_if(row.begin(), row.end(), [&](const Canon* c) { return c->heads >= heads; });
  const Canon &high = **upper, &low = **(upper - 1);
  const double t = (heads - low.heads) / (high.heads - low.heads);
  Canon canon = low;
  for (std::size_t i = 0; i < canon.bones.size(); ++i) {
    canon.bones[i].length += t * (high.bones[i].length - low.bones[i].length);
    canon.bones[i].spread += t * (high.bones[i].spread - low.bones[i].spread);
  }
  canon.sole_to_ankle += t * (high.sole_to_ankle - low.sole_to_ankle);
  canon.heads = StandingHeads(canon);
  return canon;
}

Result<LearnedCanon> LearnCanon(std::span<const CanonExample> examples, const LearnCanonOptions& options) {
  options.control.Report(0.0, "reading the figures");
  auto look = LookAt(examples, options);
  if (!look) return tl::unexpected(look.error());
  LearnedCanon learned;
  learned.left_out = look->left_out;
  learned.figures_used = static_cast<int>(look->usable.size());
  if (learned.figures_used < options.min_figures) {
    std::string reasons;
    for (const std::string& reason : look->left_out) reasons += "; " + reason;
    return BadInput(examples.empty() ? "" : examples.front().file, "",
                    fmt::format("{} of {} figures can be read, a canon needs at least {}{}", learned.figures_used,
                                examples.size(), options.min_figures, reasons),
                    "Give more figures, or mark more of their points");
  }

  const Canon start = options.start != nullptr ? *options.start : ConventionAt(Median(look->heads));
  Canon canon = start;
  PerRow log_start{}, log_length{};  // the trunk's stays: only ratios are learned
  for (std::size_t row = 0; row < kRows; ++row) log_start[row] = log_length[row] = std::log(start[RowBone(row)].length);
  std::array<Pooled, 2> pooled;
  double largest = 0.0;  // last step, in sd of the mean
  for (learned.rounds = 1;; ++learned.rounds) {
    const double search_sd = learned.rounds == 1 ? kStartSd : 0.4 * kStartSd;
    largest = 0.0;
    for (std::size_t b = 0; b < Blocks().size(); ++b) {
      const Block& block = Blocks()[b];
      std::vector<std::optional<Said>> answers(look->usable.size());
      ParallelFor(static_cast<int>(answers.size()), options.threads, [&](int i) {
        const auto at = static_cast<std::size_t>(i);
        if (!options.control.Stopped()) answers[at] = Ask(look->usable[at], canon, block, search_sd);
      });
      if (options.control.Stopped()) return tl::unexpected(Stopped());
      std::vector<Said> said;
      for (auto& answer : answers)
        if (answer) said.push_back(std::move(*answer));
      Eigen::VectorXd back(static_cast<Eigen::Index>(block.rows.size()));
      for (std::size_t i = 0; i < block.rows.size(); ++i)
        back[static_cast<Eigen::Index>(i)] = log_start[block.rows[i]] - log_length[block.rows[i]];
      pooled[b] = Pool(said, back);
      // Late rounds only settle: half steps stop a figure that wavers between two readings.
      const double damping = learned.rounds > 4 ? 0.5 : 1.0;
      for (std::size_t i = 0; i < block.rows.size(); ++i) {
        if (!block.taken[i]) continue;
        const auto at = static_cast<Eigen::Index>(i);
        const double step = damping * std::clamp(pooled[b].step[at], -kMaxStep, kMaxStep);
        log_length[block.rows[i]] += step;
        largest = std::max(largest, std::abs(step) / std::sqrt(pooled[b].covariance(at, at)));
      }
    }
    canon = WithLengths(start, log_length);
    options.control.Report(std::min(0.95, static_cast<double>(learned.rounds) / kMaxRounds), "learning the canon");
    if (largest < kSettled || learned.rounds >= kMaxRounds) break;
  }

  const auto in_block = [](std::size_t row) -> std::pair<std::size_t, Eigen::Index> {
    const std::size_t b = row == kNeck || row == kFoot ? 1 : 0;
    const auto& rows = Blocks()[b].rows;
    return {b, static_cast<Eigen::Index>(std::find(rows.begin(), rows.end(), row) - rows.begin())};
  };
  for (std::size_t row = 0; row < kRows; ++row) {
    const BoneId bone = RowBone(row);
    LearnedBone out;
    out.bone = bone;
    out.length = canon[bone].length;
    for (const FigureMarks& marks : look->usable) out.figures += EitherSideMarked(marks, bone) ? 1 : 0;
    const double spread = start[bone].spread;
    out.spread = spread;
    if (row == kTrunk) {  // the yardstick: known as well as the head against it
      out.log_sd = std::hypot(std::sqrt(pooled[0].covariance(0, 0)), kModelSd[kTrunk]);
      out.weight = out.figures;
    } else {
      const auto [b, i] = in_block(row);
      const auto head = static_cast<Eigen::Index>(b == 0 ? 0 : 2);
      const Eigen::MatrixXd& c = pooled[b].covariance;
      out.spread = SpreadOf(pooled[b], i, spread, learned.figures_used);
      out.weight = pooled[b].information[i] * spread * spread;
      out.log_sd = row == kHead ? 0.0 : std::sqrt(std::max(0.0, c(i, i) + c(head, head) - 2.0 * c(i, head)));
      out.log_sd = std::hypot(out.log_sd, kModelSd[row]);
    }
    canon[bone].spread = canon[Mirrored(bone)].spread = out.spread;
    learned.bones.push_back(out);
  }
  Eigen::VectorXd tall = Eigen::VectorXd::Zero(pooled[0].step.size());  // d heads / d ln length, the trunk held
  tall[in_block(kHead).second] = 1.0 - canon.heads;
  tall[in_block(kThigh).second] = canon[BoneId::kThighL].length;
  tall[in_block(kShin).second] = canon[BoneId::kShinL].length + canon.sole_to_ankle;
  learned.heads_sd = std::hypot(std::sqrt(tall.dot(pooled[0].covariance * tall)), kModelSd[kTrunk] * canon.heads);
  canon.name = options.name;
  canon.title = options.title.empty() ? fmt::format("Learned from {} figures", learned.figures_used) : options.title;
  canon.source = fmt::format("learned from {} figures of the artist, starting from {}", learned.figures_used,
                             options.start != nullptr ? start.name : "the built-in conventions");
  learned.canon = canon;

  const auto [low, high] = std::minmax_element(look->heads.begin(), look->heads.end());
  if (*high > 1.4 * *low)
    learned.notes.push_back(fmt::format(
        "The figures differ much among themselves, from about {:.1f} to {:.1f} heads; learn children, adults and "
        "stylised figures apart.", *low, *high));
  std::string weak;
  for (std::size_t row = 0; row < kRows; ++row)
    if (learned.bones[row].weight < 0.5 && row != kNeck)
      weak += (weak.empty() ? "" : ", ") + std::string(CanonBoneNames()[row]);
  if (!weak.empty())
    learned.notes.push_back(fmt::format("The figures say little about: {}. Those lengths lean on {}.", weak,
                                        options.start != nullptr ? start.name : "the built-in conventions"));
  if (largest > 0.5) learned.notes.push_back("The lengths had not quite settled when learning stopped.");
  options.control.Report(1.0, "done");
  return learned;
}

std::string DescribeLearned(const LearnedCanon& learned) {
  std::string text = fmt::format("{}: {}, {:.2f} +- {:.2f} heads\n\n", learned.canon.name, learned.canon.title,
                                 learned.canon.heads, learned.heads_sd);
  text += fmt::format("{:<16}{:>8}{:>14}{:>16}{:>10}\n", "", "heads", "known to", "from figure to", "figures");
  text += fmt::format("{:<16}{:>8}{:>14}{:>16}{:>10}\n", "", "", "", "figure", "");
  for (std::size_t row = 0; row < learned.bones.size(); ++row) {
    const LearnedBone& b = learned.bones[row];
    text += fmt::format("{:<16}{:>8.2f}{:>12.1f} %{:>14.1f} %{:>10}\n", CanonBoneNames()[row], b.length, 100 * b.log_sd,
                        100 * b.spread, b.figures);
  }
  for (const std::string& note : learned.notes) text += "\n" + note + "\n";
  if (!learned.left_out.empty()) {
    text += "\nLeft out:\n";
    for (const std::string& reason : learned.left_out) text += "  " + reason + "\n";
  }
  return text + "\nA drawing convention of the artist's, not a statement about real bodies.\n";
}

}  // namespace armslength
