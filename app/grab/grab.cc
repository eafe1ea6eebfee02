// Grabs every place of the window, in both themes, with the demo's picture or another one that has a marks
// file beside it: armslength-grab DIR [de] [PICTURE] [WxH]. With QT_SCALE_FACTOR=2 the same at 200 %;
// 1024x576 is what 250 % leaves of a screen of 2560 x 1440.
#include <cstdio>
#include <functional>

#include <QApplication>
#include <QDir>
#include <QElapsedTimer>
#include <QStandardPaths>
#include <QTemporaryDir>
#include <QTimer>

#include "app/critique/critique_place.h"
#include "app/places/look_place.h"
#include "app/places/mark_place.h"
#include "app/window/app_language.h"
#include "app/window/commands.h"
#include "app/window/main_window.h"
#include "app/window/side_views.h"
#include "synth/demo.h"

using namespace armslength;
using namespace armslength::app;

namespace {

bool WaitFor(const std::function<bool()>& done, int ms) {
  QElapsedTimer t;
  t.start();
  while (!done() && t.elapsed() < ms) QCoreApplication::processEvents(QEventLoop::AllEvents, 20);
  return done();
}

void Settle(int ms = 300) {
  WaitFor([] { return false; }, ms);
}

}  // namespace

int main(int argc, char** argv) {
  if (qEnvironmentVariableIsEmpty("QT_QPA_PLATFORM")) qputenv("QT_QPA_PLATFORM", "offscreen");
  QStandardPaths::setTestModeEnabled(true);
  QApplication app(argc, argv);
  if (argc < 2) {
    std::fputs("armslength-grab DIR [de] [PICTURE] [WxH]\n", stderr);
    return 2;
  }
  const QString out = QString::fromLocal8Bit(argv[1]);
  QDir().mkpath(out);
  QString picture;
  QSize size(1280, 860);
  for (int i = 2; i < argc; ++i) {
    const QString argument = QString::fromLocal8Bit(argv[i]);
    if (const QStringList sides = argument.split(QLatin1Char('x')); sides.size() == 2 && sides[0].toInt() > 0)
      size = QSize(sides[0].toInt(), sides[1].toInt());
    else if (argument.contains(QLatin1Char('.')))
      picture = argument;
    else
      UseLanguage(argument);
  }
  QTemporaryDir folder;
  if (const auto written = WriteDemo(folder.path().toStdString()); !written) {
    std::fprintf(stderr, "%s\n", written.error().Text().c_str());
    return 3;
  }
  for (const bool dark : {false, true}) {
    ApplyTheme(dark ? Theme::kDark : Theme::kLight);
    MainWindow window(folder.filePath(QStringLiteral("journal-%1.sqlite").arg(dark)));
    ApplyTheme(dark ? Theme::kDark : Theme::kLight);
    window.resize(size);
    window.show();
    Settle();
    const auto grab = [&](const QString& name) {
      Settle(150);
      const QString path = out + QStringLiteral("/window_%1_%2.png").arg(name, dark ? QStringLiteral("dark") : QStringLiteral("light"));
      window.grab().save(path, "PNG", 0);
      std::printf("%s\n", qPrintable(path));
    };
    grab(QStringLiteral("start"));
    window.OpenPicture(picture.isEmpty() ? folder.filePath(QStringLiteral("old.png")) : picture);
    WaitFor([&] { return window.TheDocument().Picture() && !window.TheDocument().Current().marks.figures.empty(); }, 20000);
    Settle();
    // Two notes, as an artist would pin them.
    Work work = window.TheDocument().Current();
    const Marks marks = work.marks;
    const auto at = [&](PointId id) {
      const Vec2 p = marks.figures.front().points.at(marks.figures.front().Has(id) ? id : PointId::kChin);
      return QRectF(p.x(), p.y(), 0, 0);
    };
    work.notes.push_back({1, QStringLiteral("Something about the eyes"), Note::Kind::kWrong, Note::Look::kFirst, at(PointId::kEyeLOuter), {}});
    work.notes.push_back({2, QStringLiteral("The sweep of the jacket"), Note::Kind::kKeep, Note::Look::kMirrored, at(PointId::kNeckPit), {}});
    window.TheDocument().Change(QStringLiteral("notes"), work);
    grab(QStringLiteral("look"));
    window.TheCommands().Find(QStringLiteral("look.mirrored"))->trigger();
    window.TheCommands().Find(QStringLiteral("look.groups"))->trigger();
    grab(QStringLiteral("look_values"));
    window.GoTo(QStringLiteral("mark"));
    WaitFor([&] { return window.LatestReading() && !window.LatestReading()->pose_only; }, 20000);
    window.TheMarks().Select(PointId::kKneeL);
    grab(QStringLiteral("mark"));
    window.TheCommands().Find(QStringLiteral("mark.head"))->trigger();
    grab(QStringLiteral("mark_head"));
    window.TheCanvas().FitPicture();
    window.TheMarkPlace().Show(MarkPlace::What::kRings);
    grab(QStringLiteral("mark_rings"));
    window.TheMarkPlace().Show(MarkPlace::What::kAreas);
    grab(QStringLiteral("mark_areas"));
    // As a new figure looks after its first six points: the rest is proposed.
    Work six = window.TheDocument().Current();
    std::map<PointId, Vec2> few;
    for (const PointId id : {PointId::kCrown, PointId::kChin, PointId::kNeckPit, PointId::kHipL, PointId::kHipR, PointId::kShoulderL})
      if (const auto set = marks.figures.front().At(id)) few[id] = *set;
    six.marks.figures.front().points = few;
    six.marks.figures.front().depth.clear();
    window.TheDocument().Change(QStringLiteral("six"), six);
    window.TheMarkPlace().Show(MarkPlace::What::kBody);
    WaitFor([&] { return window.LatestReading() && window.LatestReading()->revision == window.TheDocument().MarksRevision(); }, 20000);
    grab(QStringLiteral("mark_proposed"));
    window.TheDocument().Undo().undo();
    window.GoTo(QStringLiteral("critique"));
    WaitFor([&] { return window.TheCritiquePlace().Fresh() && window.TheCritiquePlace().Result()->measured.picture_checked; }, 60000);
    Settle();
    grab(QStringLiteral("critique"));
    window.TheCommands().Find(QStringLiteral("view.help"))->trigger();
    grab(QStringLiteral("help"));
    window.TheCommands().Find(QStringLiteral("view.help"))->trigger();
    window.TheSideViews().SetView(0);
    grab(QStringLiteral("upright"));
    window.TheSideViews().SetView(1);
    grab(QStringLiteral("solid"));
    if (!dark) {
      const QString trouble = window.WritePdf(out + QStringLiteral("/critique.pdf"));
      if (!trouble.isEmpty()) std::fprintf(stderr, "%s\n", qPrintable(trouble));
    }
  }
  return 0;
}
