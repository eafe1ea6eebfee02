#include "app/window/settings_dialog.h"

#include <QCheckBox>
#include <QComboBox>
#include <QDialogButtonBox>
#include <QFileDialog>
#include <QFormLayout>
#include <QHBoxLayout>
#include <QLabel>
#include <QLineEdit>
#include <QPushButton>
#include <QSpinBox>

#include "app/window/look_and_feel.h"

namespace armslength::app {

SettingsDialog::SettingsDialog(const Settings& settings, const QString& journal_path, QWidget* parent)
    : QDialog(parent), settings_(settings) {
  setWindowTitle(tr("Settings"));
  setMinimumWidth(460);
  auto* form = new QFormLayout(this);
  form->setVerticalSpacing(10);
  form->setHorizontalSpacing(16);
  const auto box = [&](const QString& label) {
    auto* b = new QComboBox(this);
    b->setMinimumHeight(32);
    form->addRow(label, b);
    connect(b, &QComboBox::activated, this, &SettingsDialog::Changed);
    return b;
  };
  theme_ = box(tr("&Light or dark"));
  theme_->addItems({tr("As the desktop"), tr("Light"), tr("Dark")});
  theme_->setCurrentIndex(static_cast<int>(settings.theme));
  scale_ = box(tr("Si&ze of everything"));
  for (const int percent : {100, 125, 150, 175, 200, 250}) scale_->addItem(tr("%1 %").arg(percent), percent);
  scale_->setCurrentIndex(std::max(0, scale_->findData(settings.scale_percent)));
  language_ = box(tr("Lan&guage"));
  language_->addItem(tr("As the desktop"), QString());
  language_->addItem(QStringLiteral("English"), QStringLiteral("en"));
  language_->addItem(QStringLiteral("Deutsch"), QStringLiteral("de"));
  language_->setCurrentIndex(std::max(0, language_->findData(settings.language)));
  right_ = new QCheckBox(tr("Panel on the right, for a pen in the left hand"), this);
  right_->setChecked(settings.panel_right);
  connect(right_, &QCheckBox::toggled, this, &SettingsDialog::Changed);
  form->addRow(QString(), right_);
  break_ = new QSpinBox(this);
  break_->setRange(0, 240);
  break_->setSingleStep(5);
  break_->setSpecialValueText(tr("never"));
  break_->setSuffix(tr(" min"));
  break_->setValue(settings.break_minutes);
  break_->setMinimumHeight(32);
  connect(break_, &QSpinBox::valueChanged, this, &SettingsDialog::Changed);
  form->addRow(tr("Ask for a &break after"), break_);
  auto* line = new QHBoxLayout;
  profile_ = new QLineEdit(settings.screen_profile, this);
  profile_->setPlaceholderText(tr("none: sRGB"));
  profile_->setMinimumHeight(32);
  auto* pick = new QPushButton(tr("Choose..."), this);
  line->addWidget(profile_, 1);
  line->addWidget(pick);
  auto* name = new QLabel(tr("Screen &profile (ICC)"), this);
  name->setBuddy(profile_);
  form->addRow(name, line);
  connect(profile_, &QLineEdit::editingFinished, this, &SettingsDialog::Changed);
  connect(pick, &QPushButton::clicked, this, [this] {
    const QString path = QFileDialog::getOpenFileName(this, tr("Screen profile"), profile_->text(), tr("Profiles (*.icc *.icm)"));
    if (path.isEmpty()) return;
    profile_->setText(path);
    emit Changed();
  });
  auto* where = QuietText(journal_path, this);
  where->setTextInteractionFlags(Qt::TextSelectableByMouse);
  form->addRow(tr("Journal"), where);
  form->addRow(QuietText(tr("The size is used from the next start on. Another language makes the windows anew when you close this: "
                              "your work stays, undo begins anew."), this));
  auto* buttons = new QDialogButtonBox(QDialogButtonBox::Close, this);
  connect(buttons, &QDialogButtonBox::rejected, this, &QDialog::accept);
  form->addRow(buttons);
}

Settings SettingsDialog::Chosen() const {
  Settings s = settings_;
  s.theme = static_cast<Theme>(theme_->currentIndex());
  s.scale_percent = scale_->currentData().toInt();
  s.language = language_->currentData().toString();
  s.panel_right = right_->isChecked();
  s.break_minutes = break_->value();
  s.screen_profile = profile_->text();
  return s;
}

}  // namespace armslength::app
