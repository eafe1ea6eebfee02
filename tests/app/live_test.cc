// The reading keeps step with the marks, and nothing old is shown as current.
#include <algorithm>

#include <QSignalSpy>

#include "marks/marks_file.h"
#include "window_fixture.h"

namespace armslength::app {
namespace {

TEST(Live, TheNewestRequestWins) {
  const Marks marks = *LoadMarks((DemoFolder() + QStringLiteral("/old.marks.json")).toStdString());
  LiveReading live;
  std::vector<std::shared_ptr<const LiveResult>> got;
  QObject::connect(
      &live, &LiveReading::Ready, QCoreApplication::instance(),
      [&](std::shared_ptr<const LiveResult> r) { got.push_back(std::move(r)); }, Qt::QueuedConnection);
  FigureMarks figure = marks.figures[0];
  for (quint64 revision = 1; revision <= 30; ++revision) {
    figure.points[PointId::kKneeL].x() += 1.0;
    live.Request(revision, 0, figure, std::nullopt);
  }
  ASSERT_TRUE(QTest::qWaitFor([&] { return !got.empty() && got.back()->revision == 30 && !got.back()->pose_only; }, kPatienceMs));
  EXPECT_LT(got.size(), 30u);  // older ones were stopped
  EXPECT_TRUE(std::is_sorted(got.begin(), got.end(), [](const auto& a, const auto& b) { return a->revision < b->revision; }));
  EXPECT_FALSE(got.back()->findings.empty());
}

TEST_F(WindowTest, AStaleReadingIsNeverTheLatest) {
  auto window = NewWindow();
  ASSERT_TRUE(Open(*window, Picture(QStringLiteral("old"), true)));
  window->GoTo(QStringLiteral("mark"));
  ASSERT_TRUE(QTest::qWaitFor([&] { return window->LatestReading() != nullptr; }, kPatienceMs));
  for (int i = 0; i < 25; ++i) {
    window->TheMarks().SetPoint(PointId::kWristL, {700.0 + i, 900.0});
    const quint64 revision = window->TheDocument().MarksRevision();
    QTest::qWait(i % 4 * 5);
    if (window->LatestReading()->revision != revision) continue;
    // Current: then it was solved for exactly these marks.
    EXPECT_TRUE(window->LatestReading()->reading.usable);
  }
  ASSERT_TRUE(QTest::qWaitFor(
      [&] { return window->LatestReading()->revision == window->TheDocument().MarksRevision() && !window->LatestReading()->pose_only; },
      kPatienceMs));
}

// Times of the solver behind a drag are printed, not judged: tests share the machine. Each move gets its answer.
TEST(Live, PoseTimeOfADrag) {
  const Marks marks = *LoadMarks((DemoFolder() + QStringLiteral("/old.marks.json")).toStdString());
  const Canon canon = *FindCanon("adult-7.5");
  LiveReading live;
  std::vector<double> pose, all;
  QObject::connect(
      &live, &LiveReading::Ready, QCoreApplication::instance(),
      [&](std::shared_ptr<const LiveResult> r) { (r->pose_only ? pose : all).push_back(r->pose_only ? r->pose_ms : r->all_ms); },
      Qt::QueuedConnection);
  FigureMarks figure = marks.figures[0];
  std::erase_if(figure.points, [](const auto& p) { return p.first > PointId::kToeR && p.first != PointId::kHeadTop; });
  for (quint64 revision = 1; revision <= 40; ++revision) {
    figure.points[PointId::kKneeL].x() += 1.0;
    const std::size_t before = all.size();
    live.Request(revision, 0, figure, canon);
    ASSERT_TRUE(QTest::qWaitFor([&] { return all.size() > before; }, kPatienceMs));
  }
  const auto percentile = [](std::vector<double> v, double p) {
    std::ranges::sort(v);
    return v[static_cast<std::size_t>(p * static_cast<double>(v.size() - 1))];
  };
  std::printf("pose: median %.1f ms, p95 %.1f ms; all findings: median %.1f ms, p95 %.1f ms\n", percentile(pose, 0.5),
              percentile(pose, 0.95), percentile(all, 0.5), percentile(all, 0.95));
  EXPECT_EQ(all.size(), 40u);
  EXPECT_LT(percentile(pose, 0.5), percentile(all, 0.5)) << "the pose comes first, while the rest is worked out";
}

}  // namespace
}  // namespace armslength::app
