// What the bench costs an illustrator, by scripted people with real events on the offscreen platform.
//   armslength-runs people   marks and seconds for three ways of marking, on the demo and on real figures
//   armslength-runs first    demo to first finding, own picture to first picture and first body finding
//   armslength-runs large    35 megapixels: opening, each fresh-eye view, first findings
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstring>
#include <set>

#include <QAction>
#include <QApplication>
#include <QDir>
#include <QElapsedTimer>
#include <QFile>
#include <QStandardPaths>
#include <QTemporaryDir>

#include "app/critique/critique_place.h"
#include "app/places/look_place.h"
#include "app/places/figure_choices.h"
#include "app/places/mark_place.h"
#include "app/places/point_order.h"
#include "app/runs/person.h"
#include "app/window/commands.h"
#include "app/window/main_window.h"
#include "marks/marks_file.h"
#include "picture/picture.h"
#include "support/files.h"
#include "synth/demo.h"

using namespace armslength;
using namespace armslength::app;

namespace {

constexpr int kMarksBeforeLooking = 12;

struct Scene {
  QString name, picture;
  FigureMarks truth;  // where this figure's points are meant to go
};

double Seconds(const QElapsedTimer& clock) { return static_cast<double>(clock.nsecsElapsed()) / 1e9; }

void Settle(int ms) {
  QElapsedTimer t;
  t.start();
  while (t.elapsed() < ms) QCoreApplication::processEvents(QEventLoop::AllEvents, 10);
}

// Height of the figure as marked: crown to the lower ankle.
double Stature(const FigureMarks& truth) {
  double top = 1e9, bottom = -1e9;
  for (const auto& [id, at] : truth.points) {
    top = std::min(top, at.y());
    bottom = std::max(bottom, at.y());
  }
  return bottom - top;
}

std::unique_ptr<MainWindow> NewWindow(const QTemporaryDir& folder, const QString& name) {
  auto window = std::make_unique<MainWindow>(folder.filePath(name + QStringLiteral(".sqlite")));
  window->resize(1280, 860);
  window->show();
  Settle(100);
  return window;
}

const FigureMarks* Figure(MainWindow& w) {
  const auto& figures = w.TheDocument().Current().marks.figures;
  const auto at = static_cast<std::size_t>(w.TheDocument().ActiveFigure());
  return at < figures.size() ? &figures[at] : nullptr;
}

// Points of the truth that are set and confirmed.
int Confirmed(MainWindow& w, const FigureMarks& truth) {
  const FigureMarks* f = Figure(w);
  if (!f) return 0;
  return static_cast<int>(std::ranges::count_if(f->points, [&](const auto& p) {
    return truth.Has(p.first) && std::ranges::find(f->proposed, p.first) == f->proposed.end();
  }));
}

bool ReadingIsUp(MainWindow& w) {
  return w.LatestReading() && w.LatestReading()->revision == w.TheDocument().MarksRevision();
}

bool IsBody(const Finding& f) { return f.id.starts_with("body."); }

struct Outcome {
  int clicked = 0, accepted = 0, nudged = 0;
  double seconds = 0.0, waited = 0.0;
  double first_body_s = -1.0;  // until the first body finding was read; < 0: none by twelve marks
  int first_body_marks = 0, off = 0, told = 0;  // by then
  int all_off = 0, all_told = 0;                // with every mark set
  std::string first;
  double error = 0.0;          // median, % of stature
};

// To the Critique place and back; notes the first body finding.
void LookAtCritique(Person& person, MainWindow& w, const FigureMarks& truth, Outcome& out) {
  person.Decide();
  person.Key(Qt::Key_F3);
  person.WaitFor([&] { return w.TheCritiquePlace().Fresh(); });
  const Critique& c = w.TheCritiquePlace().Shown().critique;
  for (const Finding* f : c.All()) {
    if (!IsBody(*f) || f->verdict == Verdict::kCannotTell) continue;
    ++out.told;
    if (f->verdict == Verdict::kOff) {
      ++out.off;
      if (out.first.empty()) out.first = f->id;
    }
  }
  if (out.told > 0) {
    out.first_body_s = person.Seconds();
    out.first_body_marks = Confirmed(w, truth);
  }
  person.Decide();
  person.Key(Qt::Key_F2);
}

void Finish(Person& person, MainWindow& w, const FigureMarks& truth, Outcome& out) {
  out.seconds = person.Seconds();
  out.waited = person.WaitedSeconds();
  Outcome all;  // what every mark together says; not part of the time
  LookAtCritique(person, w, truth, all);
  out.all_off = all.off;
  out.all_told = all.told;
  out.first = all.first;
  std::vector<double> errors;
  if (const FigureMarks* f = Figure(w))
    for (const auto& [id, at] : truth.points)
      if (const auto set = f->At(id)) errors.push_back((*set - at).norm() / Stature(truth) * 100.0);
  if (!errors.empty()) {
    std::ranges::nth_element(errors, errors.begin() + static_cast<std::ptrdiff_t>(errors.size() / 2));
    out.error = errors[errors.size() / 2];
  }
}

bool Begin(Person& person, MainWindow& w, const Scene& scene) {
  w.OpenPicture(scene.picture);
  if (!person.WaitFor([&] { return w.TheDocument().Picture() && !w.TheDocument().Loading(); })) return false;
  w.TheKeeper().Flush();
  Settle(50);
  person.Decide();
  person.Key(Qt::Key_F2);
  return true;
}

// As the marks file says; a list, the canon, done.
void DeclareCanon(Person& person, MainWindow& w, const Scene& scene) {
  if (scene.truth.canon.empty()) return;
  person.Decide();
  person.Decide();
  person.Pause(3 * person.Model().key_s);
  w.TheMarkPlace().Choices().DeclareCanon(QString::fromStdString(scene.truth.canon));
}

// By hand: every asked point is clicked, or, with `follow`, taken from the solved figure where that is
// already right on the screen.
Outcome ByHand(MainWindow& w, Person& person, const Scene& scene, bool follow) {
  Outcome out;
  if (!Begin(person, w, scene)) return out;
  DeclareCanon(person, w, scene);
  bool looked = false;
  int turns = 0;
  while (const auto asked = w.TheMarks().Asked()) {
    if (++turns > 60) {
      std::printf("stuck at %s\n", std::string(Name(*asked)).c_str());
      break;
    }
    if (!scene.truth.Has(*asked)) {
      person.Decide();
      person.Key(Qt::Key_D);
      continue;
    }
    person.Decide();
    const Vec2 to = scene.truth.points.at(*asked);
    const auto proposed = follow ? w.TheMarks().ProposedAt(*asked) : std::nullopt;
    const double off_px = proposed ? std::hypot(proposed->x() - to.x(), proposed->y() - to.y()) * w.TheCanvas().Zoom() : 1e9;
    if (off_px < person.Model().target_px / 2.0) {
      person.Key(Qt::Key_F);
      ++out.accepted;
    } else {
      person.Click(to);
      ++out.clicked;
    }
    person.KeepUp([&] { return ReadingIsUp(w); }, person.Model().decide_s);
    if (!looked && Confirmed(w, scene.truth) >= kMarksBeforeLooking) {
      looked = true;
      LookAtCritique(person, w, scene.truth, out);
    }
  }
  Finish(person, w, scene.truth, out);
  return out;
}

// All proposed from the picture; the three worst are dragged, the rest accepted by key.
Outcome WithProposals(MainWindow& w, Person& person, const Scene& scene) {
  Outcome out;
  if (!Begin(person, w, scene)) return out;
  DeclareCanon(person, w, scene);
  person.Decide();
  const int steps = w.TheDocument().Undo().count();
  person.Key(Qt::Key_F, Qt::ShiftModifier);
  if (!person.WaitFor([&] { return w.TheDocument().Undo().count() > steps || w.MessageText().contains(QStringLiteral("No drawn")); }))
    return out;
  // The figure meant is the one nearest to the truth.
  const auto& figures = w.TheDocument().Current().marks.figures;
  int best = 0;
  double nearest = 1e18;
  for (std::size_t i = 0; i < figures.size(); ++i) {
    double sum = 0.0;
    int count = 0;
    for (const auto& [id, at] : figures[i].points)
      if (scene.truth.Has(id)) {
        sum += (at - scene.truth.points.at(id)).norm();
        ++count;
      }
    if (count > 0 && sum / count < nearest) {
      nearest = sum / count;
      best = static_cast<int>(i);
    }
  }
  for (int i = 0; i < best; ++i) person.Key(Qt::Key_R, Qt::ShiftModifier);
  const FigureMarks* f = Figure(w);
  if (!f) return out;
  std::vector<std::pair<double, PointId>> errors;
  for (const auto& [id, at] : f->points)
    if (scene.truth.Has(id)) errors.emplace_back((at - scene.truth.points.at(id)).norm(), id);
  std::ranges::sort(errors, std::greater<>());
  std::set<PointId> worst;
  for (std::size_t i = 0; i < std::min<std::size_t>(3, errors.size()); ++i) worst.insert(errors[i].second);
  bool looked = false;
  const auto look = [&] {
    if (looked || Confirmed(w, scene.truth) < kMarksBeforeLooking) return;
    looked = true;
    LookAtCritique(person, w, scene.truth, out);
  };
  for (const PointId id : BodyOrder()) {
    f = Figure(w);
    if (!scene.truth.Has(id)) {
      if (!f->Has(id)) continue;
      person.Decide();  // a proposal of what cannot be seen: away with it
      w.TheMarks().Select(id);
      person.Key(Qt::Key_A);
      continue;
    }
    person.Decide();
    const Vec2 to = scene.truth.points.at(id);
    if (!f->Has(id)) {
      w.TheMarks().SetAsked(id);
      person.Click(to);
      ++out.clicked;
    } else if (worst.contains(id)) {
      person.Drag(f->points.at(id), to);
      ++out.nudged;
    } else {
      w.TheMarks().Select(id);
      person.Key(Qt::Key_F);
      ++out.accepted;
    }
    person.KeepUp([&] { return ReadingIsUp(w); }, person.Model().decide_s);
    look();
  }
  Finish(person, w, scene.truth, out);
  return out;
}

std::vector<Scene> Scenes(const QTemporaryDir& folder) {
  std::vector<Scene> scenes;
  const auto add = [&](const QString& name, const QString& picture, const QString& marks) {
    const QString copy = folder.filePath(QFileInfo(picture).fileName());  // without its marks file beside it
    QFile::copy(picture, copy);
    const auto loaded = LoadMarks(marks.toStdString());
    if (!loaded || loaded->figures.empty()) return;
    Scene scene{name, copy, loaded->figures.front()};
    std::erase_if(scene.truth.points, [](const auto& p) { return std::ranges::find(BodyOrder(), p.first) == BodyOrder().end(); });
    scenes.push_back(std::move(scene));
  };
  const QString demo = folder.filePath(QStringLiteral("demo"));
  if (const auto written = WriteDemo(demo.toStdString()); written) {
    const QString old = demo + QStringLiteral("/old");
    add(QStringLiteral("demo, first version"), old + QStringLiteral(".png"), old + QStringLiteral(".marks.json"));
  }
  for (const char* name : {"b16_woman_nurse_gerald_g_01", "b42_ragazzo", "b49_woman02"}) {
    const QString base = QStringLiteral(AL_FIGURES "/") + QLatin1String(name);
    add(QLatin1String(name), base + QStringLiteral(".png"), base + QStringLiteral(".marks.json"));
  }
  return scenes;
}

void People() {
  const QTemporaryDir folder;
  const PauseModel m;
  std::printf("Pauses: %.2f s to decide, %.2f s a key or press, pointing log2(D/%.0f px + 1) at %.1f (mouse) or %.1f (pen) bits/s,\n"
              "dragging at %.1f bits/s; waiting for the program beyond these is added. To the Critique place after %d marks and back.\n",
              m.decide_s, m.key_s, m.target_px, m.mouse_bits_per_s, m.pen_bits_per_s, m.drag_bits_per_s, kMarksBeforeLooking);
  std::printf("%-28s %-22s %5s %5s %5s %7s %7s  %-22s %9s %9s  %s\n", "figure", "run", "set", "taken", "moved", "all s", "wait s",
              "first body finding", "told, off", "with all", "median miss, % of stature; first that is off");
  int number = 0;
  for (const Scene& scene : Scenes(folder)) {
    const double stature = Stature(scene.truth);
    for (int run = 0; run < 3; ++run) {
      auto window = NewWindow(folder, QStringLiteral("people-%1").arg(number++));
      Person person(*window, run == 2 ? Person::Hand::kPen : Person::Hand::kMouse, 4200U + static_cast<unsigned>(number));
      if (run == 2) person.SetTremor(0.01 * stature);
      const Outcome o = run == 0 ? WithProposals(*window, person, scene) : ByHand(*window, person, scene, run == 1);
      const char* names[] = {"proposals, 3 moved", "by hand, figure follows", "pen, 1 % tremor"};
      const QString first = o.first_body_s < 0.0 ? QStringLiteral("none")
                                                 : QStringLiteral("%1 s, %2 marks").arg(o.first_body_s, 0, 'f', 1).arg(o.first_body_marks);
      std::printf("%-28s %-22s %5d %5d %5d %7.1f %7.1f  %-22s %5d, %2d %5d, %2d  %.2f  %s\n", qPrintable(scene.name), names[run], o.clicked,
                  o.accepted, o.nudged, o.seconds, o.waited, qPrintable(first), o.told, o.off, o.all_told,
                  o.all_off, o.error, o.first.c_str());
      std::fflush(stdout);
    }
  }
}

void First() {
  const QTemporaryDir folder;
  qputenv("ARMSLENGTH_DATA", folder.filePath(QStringLiteral("data")).toLocal8Bit());
  {
    auto w = NewWindow(folder, QStringLiteral("first-demo"));
    Person person(*w, Person::Hand::kMouse, 1);
    person.Decide();
    person.Key(Qt::Key_D, Qt::ControlModifier);
    person.WaitFor([&] { return !w->TheDocument().Current().marks.figures.empty(); });
    person.Decide();
    person.Key(Qt::Key_F3);
    person.WaitFor([&] { return w->TheCritiquePlace().Fresh() && !w->TheCritiquePlace().Shown().critique.first.empty(); });
    std::printf("demo to first finding: %.1f s (%.1f s of it waiting)\n", person.Seconds(), person.WaitedSeconds());
  }
  for (const Scene& scene : Scenes(folder)) {
    auto w = NewWindow(folder, QStringLiteral("first-") + scene.name);
    Person person(*w, Person::Hand::kMouse, 1);
    w->OpenPicture(scene.picture);
    person.WaitFor([&] { return w->TheDocument().Picture() != nullptr; });
    person.Decide();
    person.Key(Qt::Key_F3);
    person.WaitFor([&] { return w->TheCritiquePlace().Fresh() && w->TheCritiquePlace().Result()->measured.picture_checked; });
    std::printf("%-28s dropped to first finding of the picture: %.1f s (%.1f s of it waiting), %zu found\n", qPrintable(scene.name),
                person.Seconds(), person.WaitedSeconds(), w->TheCritiquePlace().Shown().critique.All().size());
  }
}

void Large() {
  const QTemporaryDir folder;
  const QString path = folder.filePath(QStringLiteral("large.png"));
  FigureMarks truth;
  {
    const auto scenes = Scenes(folder);
    if (scenes.empty()) return;
    QImage image(scenes.front().picture);
    const double scale = std::sqrt(35e6 / (static_cast<double>(image.width()) * image.height()));
    image = image.scaled(qRound(image.width() * scale), qRound(image.height() * scale), Qt::IgnoreAspectRatio, Qt::SmoothTransformation);
    image.save(path, "PNG", 80);
    truth = scenes.front().truth;
    for (auto& [id, at] : truth.points) at *= scale;
  }
  auto w = NewWindow(folder, QStringLiteral("large"));
  QElapsedTimer clock;
  clock.start();
  w->OpenPicture(path);
  const auto wait = [&](const std::function<bool()>& done) {
    while (!done() && clock.elapsed() < 280000) QCoreApplication::processEvents(QEventLoop::AllEvents, 2);
    return Seconds(clock);
  };
  double at = wait([&] { return w->TheDocument().Picture() && w->TheCanvas().Complete(); });
  const QSize size = w->TheDocument().Picture()->Size();
  std::printf("%d x %d px (%.1f megapixels): seen after %.2f s\n", size.width(), size.height(),
              size.width() * static_cast<double>(size.height()) / 1e6, at);
  Commands& c = w->TheCommands();
  QAction* silhouette = c.Find(QStringLiteral("look.silhouette"));
  at = wait([&] { return silhouette->property("there").toBool() || !silhouette->statusTip().contains(QStringLiteral("worked out")); });
  std::printf("silhouette and lines may be chosen: %.2f s after opening\n", at);
  Settle(50);
  std::printf("%-16s %12s %12s\n", "view", "first, ms", "whole, ms");
  for (const char* id : {"look.mirrored", "look.upside_down", "look.grey", "look.groups", "look.blurred", "look.small",
                         "look.silhouette", "look.lines"}) {
    c.Find(QStringLiteral("look.plain"))->trigger();
    Settle(300);
    clock.restart();
    c.Find(QLatin1String(id))->trigger();
    w->TheCanvas().repaint();
    const double first = Seconds(clock);
    const double whole = wait([&] { return w->TheCanvas().Complete(); });
    std::printf("%-16s %12.0f %12.0f\n", id + 5, first * 1000.0, whole * 1000.0);
  }
  c.Find(QStringLiteral("look.plain"))->trigger();
  std::fflush(stdout);
  // First findings: of the figure, then of the picture itself.
  Work work = w->TheDocument().Current();
  FigureMarks figure = truth;
  work.marks.figures = {figure};
  w->TheDocument().Change(QStringLiteral("marks"), work);
  clock.restart();
  w->GoTo(QStringLiteral("critique"));
  at = wait([&] { return w->TheCritiquePlace().Fresh(); });
  std::printf("critique asked for to findings of the figure: %.2f s\n", at);
  at = wait([&] { return w->TheCritiquePlace().Fresh() && w->TheCritiquePlace().Result()->measured.picture_checked; });
  std::printf("critique asked for to findings of the picture: %.2f s\n", at);
}

}  // namespace

int main(int argc, char** argv) {
  if (qEnvironmentVariableIsEmpty("QT_QPA_PLATFORM")) qputenv("QT_QPA_PLATFORM", "offscreen");
  QStandardPaths::setTestModeEnabled(true);
  QApplication app(argc, argv);
  ApplyTheme(Theme::kLight);
  const char* what = argc > 1 ? argv[1] : "all";
  const bool all = std::strcmp(what, "all") == 0;
  if (!all && std::strcmp(what, "people") != 0 && std::strcmp(what, "first") != 0 && std::strcmp(what, "large") != 0) {
    std::fputs("armslength-runs [people | first | large]\n", stderr);
    return 2;
  }
  if (all || std::strcmp(what, "people") == 0) People();
  if (all || std::strcmp(what, "first") == 0) First();
  if (all || std::strcmp(what, "large") == 0) Large();
  return 0;
}
