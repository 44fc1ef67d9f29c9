#include "go_asm.h"
#include "textflag.h"

// SPREAD puts one number into all four places.
#define SPREAD(from, to) \
	MOVSS  from, to; \
	SHUFPS $0, to, to

// PLANES finds where a ray enters (in) and leaves (out) between two planes.
#define PLANES(mid, half, inv, scaled, size, in, out) \
	MOVUPS mid, out; \
	MULPS  inv, out; \
	SUBPS  scaled, out; \
	MOVUPS half, X10; \
	MULPS  size, X10; \
	MOVAPS out, in; \
	SUBPS  X10, in; \
	ADDPS  X10, out

// func nextLeaf(t *descent, nodes *wideNode, leaves *wideLeaf) int32
TEXT ·nextLeaf(SB), NOSPLIT, $0-28
	MOVQ     t+0(FP), SI
	MOVQ     nodes+8(FP), DI
	MOVQ     leaves+16(FP), DX
	MOVLQSX  descent_top(SI), CX

	// The same for four boxes at once: X0 to X2 the inverse direction, X3 to X5 the
	// origin times it, X6 to X8 its size, X15 how far at most. For each box X11
	// becomes where the ray enters and X9 where it leaves.
ray:
	SPREAD(descent_inv(SI), X0)
	SPREAD((descent_inv+4)(SI), X1)
	SPREAD((descent_inv+8)(SI), X2)
	SPREAD(descent_scaled(SI), X3)
	SPREAD((descent_scaled+4)(SI), X4)
	SPREAD((descent_scaled+8)(SI), X5)
	PCMPEQL  X9, X9
	PSRLL    $1, X9
	MOVAPS   X0, X6
	ANDPS    X9, X6
	MOVAPS   X1, X7
	ANDPS    X9, X7
	MOVAPS   X2, X8
	ANDPS    X9, X8
	SPREAD(descent_most(SI), X15)

wait: // take the last that waits, unless something nearer was met since
	TESTQ    CX, CX
	JEQ      none
	DECQ     CX
	MOVSS    descent_stack(SI)(CX*8), X13
	UCOMISS  X15, X13
	JHI      wait
	MOVL     (descent_stack+4)(SI)(CX*8), AX

down:
	TESTL    AX, AX
	JLT      leaf
	MOVLQSX  AX, R8
	SHLQ     $7, R8
	ADDQ     DI, R8
	PLANES(wideNode_mid(R8), wideNode_half(R8), X0, X3, X6, X11, X9)
	PLANES((wideNode_mid+16)(R8), (wideNode_half+16)(R8), X1, X4, X7, X14, X12)
	MAXPS    X14, X11
	MINPS    X12, X9
	PLANES((wideNode_mid+32)(R8), (wideNode_half+32)(R8), X2, X5, X8, X14, X12)
	MAXPS    X14, X11
	MINPS    X12, X9
	XORPS    X10, X10
	MAXPS    X10, X11
	MINPS    X15, X9
	MOVAPS   X11, X12
	CMPPS    X9, X12, $2 // it enters before it leaves
	MOVMSKPS X12, R9
	TESTL    R9, R9
	JEQ      wait
	MOVUPS   X11, descent_t(SI)
	BSFL     R9, R10
	MOVL     wideNode_child(R8)(R10*4), AX
	MOVSS    descent_t(SI)(R10*4), X13

more: // the nearest so far is AX, at X13; the others wait
	LEAL     -1(R9), R11
	ANDL     R11, R9
	JEQ      down
	BSFL     R9, R10
	MOVL     wideNode_child(R8)(R10*4), BX
	MOVSS    descent_t(SI)(R10*4), X14
	UCOMISS  X13, X14
	JCS      nearer
	MOVSS    X14, descent_stack(SI)(CX*8)
	MOVL     BX, (descent_stack+4)(SI)(CX*8)
	INCQ     CX
	JMP      more

nearer:
	MOVSS    X13, descent_stack(SI)(CX*8)
	MOVL     AX, (descent_stack+4)(SI)(CX*8)
	INCQ     CX
	MOVAPS   X14, X13
	MOVL     BX, AX
	JMP      more

leaf:
	NOTL     AX
	MOVL     AX, BX
	MOVLQSX  AX, R8
	IMULQ    $wideLeaf__size, R8
	ADDQ     DX, R8
	// The triangles of [Moller1997]: p = d×c, q = o−a, r = q×b.
	SPREAD(descent_d(SI), X0)
	SPREAD((descent_d+4)(SI), X1)
	SPREAD((descent_d+8)(SI), X2)
	MOVUPS   wideLeaf_c(R8), X3
	MOVUPS   (wideLeaf_c+16)(R8), X4
	MOVUPS   (wideLeaf_c+32)(R8), X5
	MOVAPS   X1, X6
	MULPS    X5, X6
	MOVAPS   X2, X9
	MULPS    X4, X9
	SUBPS    X9, X6 // p.x
	MOVAPS   X2, X7
	MULPS    X3, X7
	MOVAPS   X0, X9
	MULPS    X5, X9
	SUBPS    X9, X7
	MOVAPS   X0, X8
	MULPS    X4, X8
	MOVAPS   X1, X9
	MULPS    X3, X9
	SUBPS    X9, X8
	SPREAD(descent_o(SI), X10)
	SPREAD((descent_o+4)(SI), X11)
	SPREAD((descent_o+8)(SI), X12)
	MOVUPS   wideLeaf_a(R8), X9
	SUBPS    X9, X10 // q.x
	MOVUPS   (wideLeaf_a+16)(R8), X9
	SUBPS    X9, X11
	MOVUPS   (wideLeaf_a+32)(R8), X9
	SUBPS    X9, X12
	MOVAPS   X10, X13
	MULPS    X6, X13
	MOVAPS   X11, X9
	MULPS    X7, X9
	ADDPS    X9, X13
	MOVAPS   X12, X9
	MULPS    X8, X9
	ADDPS    X9, X13 // q·p
	MOVUPS   wideLeaf_b(R8), X9
	MULPS    X9, X6
	MOVUPS   (wideLeaf_b+16)(R8), X9
	MULPS    X9, X7
	ADDPS    X6, X7
	MOVUPS   (wideLeaf_b+32)(R8), X9
	MULPS    X8, X9
	ADDPS    X7, X9 // b·p, the determinant
	MOVUPS   wideLeaf_b(R8), X6
	MOVUPS   (wideLeaf_b+16)(R8), X7
	MOVUPS   (wideLeaf_b+32)(R8), X8
	MOVAPS   X11, X14
	MULPS    X8, X14
	MOVAPS   X12, X15
	MULPS    X7, X15
	SUBPS    X15, X14 // r.x
	MOVAPS   X12, X15
	MULPS    X6, X15
	MOVAPS   X10, X12
	MULPS    X8, X12
	SUBPS    X12, X15
	MULPS    X7, X10
	MULPS    X6, X11
	SUBPS    X11, X10
	MULPS    X14, X0
	MULPS    X15, X1
	MULPS    X10, X2
	ADDPS    X1, X0
	ADDPS    X2, X0 // d·r
	MULPS    X14, X3
	MULPS    X15, X4
	MULPS    X10, X5
	ADDPS    X4, X3
	ADDPS    X5, X3 // c·r
	MOVL     $0x3f800000, AX // 1
	MOVL     AX, X10
	SHUFPS   $0, X10, X10
	MOVAPS   X10, X6
	DIVPS    X9, X6
	MULPS    X6, X13 // u
	MULPS    X6, X0  // v
	MULPS    X6, X3  // t
	XORPS    X7, X7
	MOVAPS   X7, X8
	CMPPS    X13, X8, $2
	MOVAPS   X7, X9
	CMPPS    X0, X9, $2
	ANDPS    X9, X8
	CMPPS    X3, X7, $1
	ANDPS    X7, X8
	MOVAPS   X13, X9
	ADDPS    X0, X9
	CMPPS    X10, X9, $2
	ANDPS    X9, X8
	SPREAD(descent_most(SI), X10)
	MOVAPS   X3, X9
	CMPPS    X10, X9, $1
	ANDPS    X9, X8
	MOVMSKPS X8, R9
	MOVL     wideLeaf_shapes(R8), R10
	ORL      R9, R10
	JEQ      ray // nothing here
	MOVUPS   X3, descent_t(SI)
	MOVUPS   X13, descent_u(SI)
	MOVUPS   X0, descent_v(SI)
	MOVL     R9, descent_hits(SI)
	MOVL     BX, ret+24(FP)
	MOVL     CX, descent_top(SI)
	RET

none:
	MOVL     $-1, ret+24(FP)
	RET
