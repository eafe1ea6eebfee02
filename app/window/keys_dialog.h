#pragma once
#include <QDialog>

class QLabel;
class QTableWidget;

namespace armslength::app {

class Commands;

// Every command and its key; a double click, or Enter, takes a new one. A key that is already
// used is taken from the other command only after saying so.
class KeysDialog : public QDialog {
  Q_OBJECT
 public:
  KeysDialog(Commands& commands, const QString& keys_path, QWidget* parent = nullptr);

  // The command in `row` gets `key`; what it took the key from, or empty. For the table and tests.
  QString Give(int row, const QKeySequence& key);

 private:
  void Fill();
  void EditRow(int row);
  Commands& commands_;
  QString keys_path_;
  QTableWidget* table_;
  QLabel* note_;
};

}  // namespace armslength::app
