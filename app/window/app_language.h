#pragma once
#include <QString>

namespace armslength::app {

// The language of the window and of the findings from here on: "en", "de"; empty: the desktop's.
// Windows that are open keep theirs until they are made anew (MainWindow::ChangeLanguage).
void UseLanguage(const QString& language);

}  // namespace armslength::app
