#include "textflag.h"

// func nextLeaf(t *descent, root *wideNode) int32
//
// The same for four boxes at once: X0 to X2 the inverse direction, X3 to X5 the
// origin times it, X6 to X8 its size, X15 how far at most. For each box X11
// becomes where the ray enters and X9 where it leaves.
TEXT ·nextLeaf(SB), NOSPLIT, $0-20
	MOVQ   t+0(FP), SI
	MOVQ   root+8(FP), DI
	MOVSS  0(SI), X0
	SHUFPS $0, X0, X0
	MOVSS  4(SI), X1
	SHUFPS $0, X1, X1
	MOVSS  8(SI), X2
	SHUFPS $0, X2, X2
	MOVSS  12(SI), X3
	SHUFPS $0, X3, X3
	MOVSS  16(SI), X4
	SHUFPS $0, X4, X4
	MOVSS  20(SI), X5
	SHUFPS $0, X5, X5
	PCMPEQL X9, X9
	PSRLL  $1, X9
	MOVAPS X0, X6
	ANDPS  X9, X6
	MOVAPS X1, X7
	ANDPS  X9, X7
	MOVAPS X2, X8
	ANDPS  X9, X8
	MOVSS  24(SI), X15
	SHUFPS $0, X15, X15
	MOVLQSX 28(SI), CX

wait: // take the last that waits, unless something nearer was met since
	TESTQ CX, CX
	JEQ   none
	DECQ  CX
	MOVSS 48(SI)(CX*8), X13
	UCOMISS X15, X13
	JHI   wait
	MOVL  52(SI)(CX*8), AX

down:
	TESTL AX, AX
	JLT   leaf
	MOVLQSX AX, R8
	SHLQ  $7, R8
	ADDQ  DI, R8
	MOVUPS 0(R8), X9
	MULPS  X0, X9
	SUBPS  X3, X9
	MOVUPS 48(R8), X10
	MULPS  X6, X10
	MOVAPS X9, X11
	SUBPS  X10, X11
	ADDPS  X10, X9
	MOVUPS 16(R8), X12
	MULPS  X1, X12
	SUBPS  X4, X12
	MOVUPS 64(R8), X10
	MULPS  X7, X10
	MOVAPS X12, X14
	SUBPS  X10, X14
	ADDPS  X10, X12
	MAXPS  X14, X11
	MINPS  X12, X9
	MOVUPS 32(R8), X12
	MULPS  X2, X12
	SUBPS  X5, X12
	MOVUPS 80(R8), X10
	MULPS  X8, X10
	MOVAPS X12, X14
	SUBPS  X10, X14
	ADDPS  X10, X12
	MAXPS  X14, X11
	MINPS  X12, X9
	XORPS  X10, X10
	MAXPS  X10, X11
	MINPS  X15, X9
	MOVAPS X11, X12
	CMPPS  X9, X12, $2 // enters before it leaves
	MOVMSKPS X12, R9
	TESTL  R9, R9
	JEQ    wait

	MOVUPS X11, 32(SI)
	BSFL   R9, R10
	MOVL   96(R8)(R10*4), AX
	MOVSS  32(SI)(R10*4), X13

more: // the nearest so far is AX, at X13; the others wait
	LEAL  -1(R9), R11
	ANDL  R11, R9
	JEQ   down
	BSFL  R9, R10
	MOVL  96(R8)(R10*4), BX
	MOVSS 32(SI)(R10*4), X14
	UCOMISS X13, X14
	JCS   nearer
	MOVSS X14, 48(SI)(CX*8)
	MOVL  BX, 52(SI)(CX*8)
	INCQ  CX
	JMP   more

nearer:
	MOVSS X13, 48(SI)(CX*8)
	MOVL  AX, 52(SI)(CX*8)
	INCQ  CX
	MOVAPS X14, X13
	MOVL  BX, AX
	JMP   more

none:
	XORL  AX, AX

leaf:
	MOVL  CX, 28(SI)
	MOVL  AX, ret+16(FP)
	RET
