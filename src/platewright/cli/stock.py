"""`platewright stock`: the group of commands about the ledger; each booking is whole or not at all."""

from __future__ import annotations

from collections.abc import Callable

from cyclopts import App

from platewright.cli import stock_goods, stock_ledger, stock_lists

__all__ = ["stock"]

stock = App(name="stock", help="Keep the stock: items, deliveries, checks, kits, sales, returns, counts.")
_COMMANDS: dict[str, Callable[..., int]] = {
    "init": stock_ledger.init,
    "items": stock_ledger.items,
    "add": stock_ledger.add,
    "want-check": stock_ledger.want_check,
    "supplier": stock_ledger.supplier,
    "price": stock_ledger.price,
    "order": stock_goods.order,
    "receive": stock_goods.receive,
    "inspect": stock_goods.inspect,
    "reject": stock_goods.reject,
    "pack": stock_goods.pack,
    "sell": stock_goods.sell,
    "return": stock_goods.take_back,
    "count": stock_goods.count,
    "discontinue": stock_ledger.discontinue,
    "list": stock_lists.show,
    "where": stock_lists.where,
    "import": stock_ledger.import_rows,
    "export": stock_ledger.export,
    "rebuild": stock_ledger.rebuild,
}
for _name, _command in _COMMANDS.items():
    stock.command(_command, name=_name)
