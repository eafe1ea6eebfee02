#include "app/window/look_and_feel.h"

#include <QApplication>
#include <QLabel>
#include <QStyle>
#include <QStyleFactory>

namespace armslength::app {
namespace {

QColor Grey(int v) { return {v, v, v}; }

// What a palette alone cannot say. Colours come from the palette in use.
QString Sheet(const QPalette& p) {
  const bool dark = p.color(QPalette::Window).lightness() < 128;
  const auto image = [dark](const char* name) {
    return QStringLiteral(":/armslength/%1_%2.png").arg(QLatin1String(name), dark ? QStringLiteral("dark") : QStringLiteral("light"));
  };
  return QStringLiteral(
             "QPlainTextEdit, QLineEdit, QListView, QTreeView, QTableView, QKeySequenceEdit {"
             " border: 1px solid %1; border-radius: 4px; background: %2; padding: 3px;"
             " selection-background-color: %3; selection-color: %4; }"
             "QPlainTextEdit:focus, QLineEdit:focus, QListView:focus, QTreeView:focus, QTableView:focus {"
             " border: 1px solid %5; }"
             "QListView::item { padding: 4px 2px; }"
             "QListView::item:selected, QTreeView::item:selected, QTableView::item:selected {"
             " background: %3; color: %4; }"
             "QComboBox, QSpinBox { border: 1px solid %1; border-radius: 4px; background: %7; color: %5; padding: 2px 8px; }"
             "QComboBox:focus, QSpinBox:focus { border: 1px solid %5; }"
             "QComboBox::drop-down { border: none; width: 22px; }"
             "QComboBox::down-arrow { image: url(%8); width: 10px; height: 10px; }"
             "QComboBox QAbstractItemView { border: 1px solid %1; background: %2; padding: 2px; }"
             "QSpinBox::up-button, QSpinBox::down-button { border: none; width: 20px; background: transparent; }"
             "QSpinBox::up-arrow { image: url(%9); width: 9px; height: 9px; }"
             "QSpinBox::down-arrow { image: url(%8); width: 9px; height: 9px; }"
             "QCheckBox::indicator { width: 14px; height: 14px; border: 1px solid %5; border-radius: 3px; background: %2; }"
             "QCheckBox::indicator:checked { image: url(%10); }"
             "QCheckBox:focus { text-decoration: underline; }"
             "QDialogButtonBox { dialogbuttonbox-buttons-have-icons: 0; }"
             "QPushButton { border: 1px solid %1; border-radius: 4px; background: %7; color: %5; padding: 6px 14px; }"
             "QPushButton:hover { border-color: %5; }"
             "QPushButton:disabled { color: %6; }"
             "QMenu { border: 1px solid %1; background: %2; padding: 4px; }"
             "QMenu::item { padding: 6px 22px; border-radius: 3px; }"
             "QMenu::item:selected { background: %3; color: %4; }"
             "QMenu::separator { height: 1px; background: %1; margin: 4px 8px; }"
             "QHeaderView::section { border: none; border-bottom: 1px solid %1; background: %2; padding: 4px; }"
             "QScrollArea { border: none; background: transparent; }"
             "QScrollBar:vertical { width: 10px; background: transparent; margin: 0; }"
             "QScrollBar:horizontal { height: 10px; background: transparent; margin: 0; }"
             "QScrollBar::handle { background: %1; border-radius: 3px; margin: 2px; min-height: 28px; min-width: 28px; }"
             "QScrollBar::add-line, QScrollBar::sub-line, QScrollBar::add-page, QScrollBar::sub-page {"
             " background: transparent; height: 0; width: 0; }"
             "QToolTip { color: %5; background: %2; border: 1px solid %1; padding: 3px; }"
             "QLabel[quiet=\"true\"] { color: %6; }")
      .arg(p.color(QPalette::Mid).name(), p.color(QPalette::Base).name(), p.color(QPalette::Highlight).name(),
           p.color(QPalette::HighlightedText).name(), p.color(QPalette::Text).name(),
           p.color(QPalette::PlaceholderText).name(), p.color(QPalette::Button).name(),
           image("arrow"), image("arrow_up"))
      .arg(image("tick"));
}

}  // namespace

QPalette NeutralPalette(bool dark) {
  QPalette p;
  const auto set = [&](QPalette::ColorRole role, int light_v, int dark_v) { p.setColor(role, Grey(dark ? dark_v : light_v)); };
  set(QPalette::Window, 238, 44);
  set(QPalette::Base, 250, 34);
  set(QPalette::AlternateBase, 242, 52);
  set(QPalette::Button, 224, 62);
  set(QPalette::Light, 255, 90);
  set(QPalette::Midlight, 212, 74);
  set(QPalette::Mid, 176, 100);
  set(QPalette::Dark, 128, 72);   // surround of the picture: middle grey, darker at night
  set(QPalette::Shadow, 90, 10);
  set(QPalette::WindowText, 20, 232);
  set(QPalette::Text, 20, 232);
  set(QPalette::ButtonText, 20, 232);
  set(QPalette::BrightText, 0, 255);
  set(QPalette::ToolTipBase, 250, 34);
  set(QPalette::ToolTipText, 20, 232);
  set(QPalette::PlaceholderText, 84, 178);
  set(QPalette::Highlight, 64, 214);
  set(QPalette::HighlightedText, 255, 16);
  set(QPalette::Link, 20, 232);
  set(QPalette::LinkVisited, 20, 232);
  for (const auto role : {QPalette::WindowText, QPalette::Text, QPalette::ButtonText})
    p.setColor(QPalette::Disabled, role, Grey(dark ? 156 : 98));
  p.setColor(QPalette::Disabled, QPalette::Highlight, Grey(dark ? 110 : 160));
  return p;
}

void ApplyTheme(Theme theme) {
  static const bool system_dark = QApplication::palette().color(QPalette::Window).lightness() < 128;
  if (!QApplication::style() || QApplication::style()->name() != QLatin1String("fusion"))
    QApplication::setStyle(QStyleFactory::create(QStringLiteral("Fusion")));
  const bool dark = theme == Theme::kDark || (theme == Theme::kSystem && system_dark);
  const QPalette palette = NeutralPalette(dark);
  QApplication::setPalette(palette);
  qApp->setStyleSheet(Sheet(palette));
}

QLabel* Heading(const QString& text, QWidget* parent) {
  auto* label = new QLabel(text, parent);
  QFont font = label->font();
  font.setBold(true);
  label->setFont(font);
  label->setWordWrap(true);
  return label;
}

QLabel* QuietText(const QString& text, QWidget* parent) {
  auto* label = new QLabel(text, parent);
  label->setProperty("quiet", true);
  label->setWordWrap(true);
  return label;
}

}  // namespace armslength::app
