#include "app/window/settings.h"

#include <algorithm>

#include <QSettings>
#include <QStandardPaths>

namespace armslength::app {
namespace {

QString Folder() {
  return QStandardPaths::writableLocation(QStandardPaths::GenericConfigLocation) + QStringLiteral("/armslength");
}

}  // namespace

QString SettingsPath() { return Folder() + QStringLiteral("/window.ini"); }
QString KeysPath() { return Folder() + QStringLiteral("/keys.json"); }

Settings Settings::Load() {
  const QSettings file(SettingsPath(), QSettings::IniFormat);
  Settings s;
  s.theme = static_cast<Theme>(std::clamp(file.value(QStringLiteral("theme"), 0).toInt(), 0, 2));
  s.scale_percent = std::clamp(file.value(QStringLiteral("scale"), 100).toInt(), 100, 250);
  s.language = file.value(QStringLiteral("language")).toString();
  s.panel_right = file.value(QStringLiteral("panel_right"), false).toBool();
  s.break_minutes = std::clamp(file.value(QStringLiteral("break_minutes"), 60).toInt(), 0, 240);
  s.screen_profile = file.value(QStringLiteral("screen_profile")).toString();
  s.geometry = file.value(QStringLiteral("geometry")).toByteArray();
  return s;
}

void Settings::Save() const {
  QSettings file(SettingsPath(), QSettings::IniFormat);
  file.setValue(QStringLiteral("theme"), static_cast<int>(theme));
  file.setValue(QStringLiteral("scale"), scale_percent);
  file.setValue(QStringLiteral("language"), language);
  file.setValue(QStringLiteral("panel_right"), panel_right);
  file.setValue(QStringLiteral("break_minutes"), break_minutes);
  file.setValue(QStringLiteral("screen_profile"), screen_profile);
  file.setValue(QStringLiteral("geometry"), geometry);
}

}  // namespace armslength::app
