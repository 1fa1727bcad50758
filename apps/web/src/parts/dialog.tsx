import type { ReactNode } from "react";
import { Heading, Modal, ModalOverlay, Dialog as Spoken } from "react-aria-components";
import { words } from "../words/index.ts";
import { Button } from "./button.tsx";
import css from "./parts.module.css";

export interface DialogProps {
  readonly title: string;
  readonly isOpen: boolean;
  /** Escape, a click beside it, its close button. */
  readonly onClose: () => void;
  readonly children: ReactNode;
}

/** In front of the place. Never over a picture that is being judged. */
export function Dialog({ title, isOpen, onClose, children }: DialogProps) {
  return (
    <ModalOverlay
      className={css.overlay ?? ""}
      isOpen={isOpen}
      onOpenChange={(open) => !open && onClose()}
      isDismissable
    >
      <Modal className={css.modal ?? ""}>
        <Spoken className={css.dialog ?? ""}>
          <header className={css.dialogHead}>
            <Heading slot="title" level={2}>
              {title}
            </Heading>
            <Button look="bare" onPress={onClose} aria-label={words.parts.close}>
              ×
            </Button>
          </header>
          {children}
        </Spoken>
      </Modal>
    </ModalOverlay>
  );
}
