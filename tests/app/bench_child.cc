#include "bench_child.h"

#include <cstdio>

#include <QTest>

#include "app/window/main_window.h"
#include "window_fixture.h"

using namespace armslength;
using namespace armslength::app;

int RunChild(int argc, char** argv) {
  if (argc < 4) return 2;
  MainWindow window(QString::fromLocal8Bit(argv[2]));
  window.show();
  window.OpenPicture(QString::fromLocal8Bit(argv[3]));
  if (!QTest::qWaitFor([&] { return window.TheDocument().Picture() != nullptr; }, kPatienceMs)) return 3;
  window.TheKeeper().Flush();
  QTest::qWait(50);  // the journal's answer is queued
  for (int i = 0; i < kBodyPointCount; ++i) {
    window.TheMarks().SetPoint(static_cast<PointId>(i), QPointF(100 + 10 * i, 120 + 5 * i));
    window.TheKeeper().Flush();
    std::printf("%d\n", i + 1);
    std::fflush(stdout);
    QTest::qWait(30);
  }
  Work work = window.TheDocument().Current();
  Note note;
  note.id = 1;
  note.text = QStringLiteral("kept");
  work.notes.push_back(note);
  window.TheDocument().Change(QStringLiteral("note"), work);
  window.TheKeeper().Flush();
  std::printf("note\n");
  std::fflush(stdout);
  for (;;) QTest::qWait(1000);
}
