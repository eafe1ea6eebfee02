#include <cstring>

#include <QApplication>
#include <QStandardPaths>
#include <gtest/gtest.h>

#include "app/window/look_and_feel.h"
#include "bench_child.h"

int main(int argc, char** argv) {
  if (qEnvironmentVariableIsEmpty("QT_QPA_PLATFORM")) qputenv("QT_QPA_PLATFORM", "offscreen");
  QStandardPaths::setTestModeEnabled(true);  // no settings or keys of the person who runs the tests
  QApplication app(argc, argv);
  QCoreApplication::setApplicationName(QStringLiteral("armslength-test"));
  armslength::app::ApplyTheme(armslength::app::Theme::kLight);
  if (argc > 2 && std::strcmp(argv[1], "--child") == 0) return RunChild(argc, argv);
  testing::InitGoogleTest(&argc, argv);
  return RUN_ALL_TESTS();
}
