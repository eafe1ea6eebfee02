#pragma once
#include <functional>
#include <memory>

#include <QElapsedTimer>
#include <QImage>
#include <QMouseEvent>
#include <QTemporaryDir>
#include <QTest>
#include <gtest/gtest.h>

#include "app/critique/critique_place.h"
#include "app/window/main_window.h"
#include "synth/demo.h"

namespace armslength::app {

// How long a test waits for what surely comes: only a hang takes so long, however busy the machine and slow its disk.
inline constexpr int kPatienceMs = 200000;

// The demo's files: drawn by ctest once for all tests, else by a program run by hand once for itself. Never written to.
inline const QString& DemoFolder() {
  static const auto folder = [] {
    if (const QString drawn = qEnvironmentVariable("AL_DEMO_FOLDER"); QFile::exists(drawn + QStringLiteral("/about-the-demo.txt")))
      return drawn;
    auto* dir = new QTemporaryDir;
    EXPECT_TRUE(WriteDemo(dir->path().toStdString()));
    return dir->path();
  }();
  return folder;
}

class WindowTest : public testing::Test {
 protected:
  void SetUp() override { ASSERT_TRUE(folder_.isValid()); }

  // A window with a journal of its own for each test; `name` apart for several.
  std::unique_ptr<MainWindow> NewWindow(const QString& name = QStringLiteral("journal")) {
    auto window = std::make_unique<MainWindow>(folder_.filePath(name + QStringLiteral(".sqlite")));
    window->resize(1280, 860);
    window->show();
    EXPECT_TRUE(QTest::qWaitForWindowExposed(window.get()));
    return window;
  }
  // A copy of a demo picture (without its marks, unless asked for).
  QString Picture(const QString& version = QStringLiteral("old"), bool marks = false) {
    const QString to = folder_.filePath(version + QStringLiteral(".png"));
    QFile::copy(DemoFolder() + QLatin1Char('/') + version + QStringLiteral(".png"), to);
    if (marks)
      QFile::copy(DemoFolder() + QLatin1Char('/') + version + QStringLiteral(".marks.json"),
                  folder_.filePath(version + QStringLiteral(".marks.json")));
    return to;
  }
  static bool Open(MainWindow& window, const QString& path) {
    window.OpenPicture(path);
    const bool open = QTest::qWaitFor(
        [&] { return window.TheDocument().Path() == path && window.TheDocument().Picture() && !window.TheDocument().Loading(); },
        kPatienceMs);
    window.TheKeeper().Flush();
    QTest::qWait(50);  // the journal's answer is queued
    return open;
  }
  static QPoint OnScreen(MainWindow& window, const Vec2& at) {
    return window.TheCanvas().WidgetFromPicture().map(QPointF(at.x(), at.y())).toPoint();
  }

  static void Click(MainWindow& window, const Vec2& at) {
    QTest::mouseClick(&window.TheCanvas(), Qt::LeftButton, Qt::NoModifier, OnScreen(window, at));
  }
  // Goes to the Critique place and waits for what it says of the marks and the picture as they are.
  static bool CritiqueIsThere(MainWindow& window) {
    window.GoTo(QStringLiteral("critique"));
    return QTest::qWaitFor(
        [&] {
          const CritiquePlace& place = window.TheCritiquePlace();
          return place.Fresh() && place.Result()->measured.picture_checked;
        },
        kPatienceMs);
  }

  QTemporaryDir folder_;
};

}  // namespace armslength::app
