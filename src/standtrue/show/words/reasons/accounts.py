"""Why nobody is let in, why a PIN or a password is not taken, and why a role stays as it is."""

from __future__ import annotations

from typing import TYPE_CHECKING

from standtrue.show.words.catalog import N_

if TYPE_CHECKING:
    from standtrue.model.reason import Reason
    from standtrue.show.words.reader import Reader
    from standtrue.show.words.reasons import Sentences


def _pin_wrong(reason: Reason, reader: Reader) -> str:
    left = reason["left"]
    assert isinstance(left, int)
    return reader.say_n(
        "That is not the PIN. {n} more wrong one locks it.", "That is not the PIN. {n} more wrong ones lock it.", left
    )


SENTENCES: Sentences = {
    "sign-in-wrong": N_("Name and password do not go together."),
    "sign-in-wait": N_("Too many wrong tries. Wait {wait}, then try again."),
    "sign-in-locked": N_("After {count} wrong tries nobody gets in by this name until an owner lifts it."),
    "address-wait": N_("Too many wrong tries from this device. Wait {wait}, then try again."),
    "code-wrong": N_("This code is not known, was used already, or is too old. An owner can make another."),
    "password-length": N_("A password has {least} to {most} characters."),
    "password-easy": N_(
        "Somebody would guess this password: it is a name, or has three different characters or fewer."
    ),
    "pin-form": N_("A PIN has 4 to 8 digits."),
    "pin-easy": N_("Somebody would guess this PIN: take one whose digits do not repeat or count up or down."),
    "pin-wrong": _pin_wrong,
    "pin-locked": N_("The PIN of {name} is locked after {count} wrong tries. An owner lifts it, under People."),
    "pin-missing": N_("{name} has no PIN yet."),
    "pin-repeated-otherwise": N_("The two PINs differ."),
    "password-repeated-otherwise": N_("The two passwords differ."),
    "nobody-by-that-name": N_("Nobody here is called {name}."),
    "role-does-not-sign": N_("{name} is a reader, and readers sign nothing."),
    "name-missing-here": N_("A name has 1 to {most} characters."),
    "person-there-already": N_("Somebody here is called {name} already."),
    "last-owner": N_("{name} is the only owner who can sign in: make another one an owner first."),
    "no-such-site": N_("There is no site called {site}."),
    "site-changed-meanwhile": N_("Somebody changed {site} meanwhile: look at it, and choose again."),
    "unknown-role": N_("There is no such role."),
    "network-not-asked": N_("only this machine is served: a name, a certificate or a key counts on the network alone"),
    "ask-network": N_("Add {option}."),
    "no-host-name": N_("neither a name nor an address: {value}"),
    "name-the-host": N_("Name it as other devices call this machine: {option} shop.local."),
    "certificate-without-key": N_("a certificate and its key belong together"),
    "certificate-without-names": N_("the certificate tells no name of this machine"),
    "certificate-unusable": N_("the certificate cannot be used: {why}"),
    "name-pem-files": N_("Name both as PEM files, the key without a password."),
    "authority-not-for-name": N_("the shop's authority was made for other names, and cannot vouch for {names}"),
    "remove-authority": N_(
        "Remove the folder {folder} and begin again: another authority is made, and each device has to trust it anew."
    ),
}
