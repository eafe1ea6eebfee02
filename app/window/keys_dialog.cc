#include "app/window/keys_dialog.h"

#include <QDialogButtonBox>
#include <QHeaderView>
#include <QKeySequenceEdit>
#include <QLabel>
#include <QPushButton>
#include <QTableWidget>
#include <QVBoxLayout>

#include "app/window/commands.h"
#include "app/window/look_and_feel.h"

namespace armslength::app {

KeysDialog::KeysDialog(Commands& commands, const QString& keys_path, QWidget* parent)
    : QDialog(parent), commands_(commands), keys_path_(keys_path) {
  setWindowTitle(tr("Keys"));
  resize(520, 620);
  auto* column = new QVBoxLayout(this);
  column->setSpacing(kGap);
  column->addWidget(QuietText(tr("Choose a row and press Enter to give it another key; Delete takes its key away."), this));
  table_ = new QTableWidget(0, 2, this);
  table_->setAccessibleName(tr("Commands and keys"));
  table_->setHorizontalHeaderLabels({tr("Command"), tr("Key")});
  table_->horizontalHeader()->setSectionResizeMode(0, QHeaderView::Stretch);
  table_->horizontalHeader()->setSectionResizeMode(1, QHeaderView::ResizeToContents);
  table_->horizontalHeader()->setMinimumSectionSize(130);  // room to type another
  table_->verticalHeader()->hide();
  table_->setShowGrid(false);
  table_->setEditTriggers(QAbstractItemView::NoEditTriggers);
  table_->setSelectionBehavior(QAbstractItemView::SelectRows);
  table_->setSelectionMode(QAbstractItemView::SingleSelection);
  column->addWidget(table_, 1);
  note_ = QuietText({}, this);
  column->addWidget(note_);
  auto* buttons = new QDialogButtonBox(QDialogButtonBox::Close, this);
  auto* reset = buttons->addButton(tr("All as at first"), QDialogButtonBox::ResetRole);
  column->addWidget(buttons);
  connect(buttons, &QDialogButtonBox::rejected, this, &QDialog::accept);
  connect(reset, &QPushButton::clicked, this, [this] {
    commands_.ResetKeys();
    note_->setText(commands_.SaveKeys(keys_path_));
    Fill();
  });
  connect(table_, &QTableWidget::cellActivated, this, &KeysDialog::EditRow);
  auto* remove = new QAction(this);
  remove->setShortcut(QKeySequence::Delete);
  addAction(remove);
  connect(remove, &QAction::triggered, this, [this] {
    if (table_->currentRow() >= 0) Give(table_->currentRow(), {});
  });
  Fill();
}

void KeysDialog::Fill() {
  const int row = table_->currentRow();
  const auto& all = commands_.All();
  table_->setRowCount(static_cast<int>(all.size()));
  for (int i = 0; i < table_->rowCount(); ++i) {
    const QAction* action = all[static_cast<std::size_t>(i)].action;
    table_->setItem(i, 0, new QTableWidgetItem(action->text()));
    table_->setItem(i, 1, new QTableWidgetItem(action->shortcut().toString(QKeySequence::NativeText)));
  }
  table_->setCurrentCell(std::max(0, row), 0);
}

void KeysDialog::EditRow(int row) {
  auto* edit = new QKeySequenceEdit(table_);
  table_->setCellWidget(row, 1, edit);
  edit->setFocus();
  connect(edit, &QKeySequenceEdit::editingFinished, this, [this, row, edit] {
    const QKeySequence key = edit->keySequence();
    table_->removeCellWidget(row, 1);
    if (!key.isEmpty()) Give(row, QKeySequence(key[0]));
    table_->setFocus();
  });
}

QString KeysDialog::Give(int row, const QKeySequence& key) {
  QAction* action = commands_.All()[static_cast<std::size_t>(row)].action;
  QString taken;
  if (QAction* holder = commands_.Holder(key, action)) {
    taken = holder->text();
    commands_.SetKey(holder, {});
  }
  commands_.SetKey(action, key);
  const QString trouble = commands_.SaveKeys(keys_path_);
  note_->setText(!trouble.isEmpty() ? trouble : taken.isEmpty() ? QString() : tr("%1 has no key now").arg(taken));
  Fill();
  return taken;
}

}  // namespace armslength::app
