#pragma once
#include <QDialog>

#include "app/window/settings.h"

class QCheckBox;
class QComboBox;
class QLineEdit;
class QSpinBox;

namespace armslength::app {

class SettingsDialog : public QDialog {
  Q_OBJECT
 public:
  SettingsDialog(const Settings& settings, const QString& journal_path, QWidget* parent = nullptr);
  [[nodiscard]] Settings Chosen() const;

 signals:
  void Changed();  // with every change; there is no "apply"

 private:
  Settings settings_;
  QComboBox *theme_, *language_, *scale_;
  QSpinBox* break_;
  QCheckBox* right_;
  QLineEdit* profile_;
};

}  // namespace armslength::app
