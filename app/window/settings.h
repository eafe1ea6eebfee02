#pragma once
#include <QByteArray>
#include <QString>

#include "app/window/look_and_feel.h"

namespace armslength::app {

// The few things the window remembers, in one small file in the config folder.
struct Settings {
  Theme theme = Theme::kSystem;
  int scale_percent = 100;        // of everything, 100 to 250; used at the next start
  QString language;               // "en", "de"; empty: the system's
  bool panel_right = false;       // for a pen in the left hand
  int break_minutes = 60;         // 0: no reminder
  QString screen_profile;         // ICC file of the screen; empty: sRGB
  QByteArray geometry;

  [[nodiscard]] static Settings Load();
  void Save() const;
};

[[nodiscard]] QString SettingsPath();
[[nodiscard]] QString KeysPath();

}  // namespace armslength::app
