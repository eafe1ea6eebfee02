#include <cstdio>

#include <QApplication>

#include "app/window/app_language.h"
#include "app/window/look_and_feel.h"
#include "app/window/main_window.h"
#include "app/window/settings.h"

namespace {

constexpr char kUsage[] =
    "armslength-bench [PICTURE]...\n"
    "The window. With pictures: one window for each.\n";

}  // namespace

int main(int argc, char** argv) {
  using namespace armslength::app;
  QCoreApplication::setApplicationName(QStringLiteral("armslength"));
  const Settings settings = Settings::Load();
  // Qt reads the scale before the first window, so it is set here; the person's own variable wins.
  if (settings.scale_percent != 100 && !qEnvironmentVariableIsSet("QT_SCALE_FACTOR"))
    qputenv("QT_SCALE_FACTOR", QByteArray::number(settings.scale_percent / 100.0));
  QApplication app(argc, argv);
  const QStringList arguments = QApplication::arguments().mid(1);
  if (arguments.contains(QStringLiteral("--help")) || arguments.contains(QStringLiteral("-h"))) {
    std::fputs(kUsage, stdout);
    return 0;
  }
  for (const QString& a : arguments)
    if (a.startsWith(QLatin1Char('-'))) {
      std::fprintf(stderr, "armslength-bench: unknown option '%s'\n%s", qPrintable(a), kUsage);
      return 2;
    }
  UseLanguage(settings.language);
  ApplyTheme(settings.theme);
  const int windows = std::max<int>(1, static_cast<int>(arguments.size()));
  for (int i = 0; i < windows; ++i) {
    auto* window = new MainWindow;
    window->setAttribute(Qt::WA_DeleteOnClose);
    if (i < arguments.size()) window->OpenPicture(arguments[i]);
    window->show();
  }
  return QApplication::exec();
}
