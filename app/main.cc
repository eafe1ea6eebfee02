#include <QApplication>

#include "app/window/look_and_feel.h"
#include "app/window/main_window.h"

int main(int argc, char** argv) {
  QApplication app(argc, argv);
  QApplication::setApplicationName(QStringLiteral("armslength"));
  QApplication::setStyle(QStringLiteral("Fusion"));
  const bool dark = QApplication::palette().color(QPalette::Window).lightness() < 128;
  QApplication::setPalette(armslength::app::NeutralPalette(dark));
  armslength::app::MainWindow window;
  const auto arguments = QApplication::arguments();
  if (arguments.size() > 1) window.OpenPicture(arguments[1]);
  window.show();
  return QApplication::exec();
}
