"""Eight boats at a time: a number type for compiled code that holds one value for each of eight runs.

Inside compiled functions a ``Lanes`` value behaves like a float: ``+ - * /``, comparisons, ``sqrt``,
``fabs``, ``floor``.  A comparison gives one yes or no a lane; :func:`pick` chooses between two values by
it, so that laws are written without branches and read almost like ordinary code::

    depth = pick(z > 0.0, z, 0.0)

The processor then does one operation for eight runs, which is what lets a thousand runs answer while a
coach waits.  The same functions take plain floats, which is how the tests check them one at a time.

Angles and powers: :func:`log2`, :func:`exp2`, :func:`power`, :func:`sine` and :func:`arctan` are short
polynomials (error under 1e-7), because calling a library function would undo the eight lanes.
"""

# mypy: disable-error-code="misc,untyped-decorator,no-untyped-def"

from __future__ import annotations

import math
import operator
from typing import Any

import numpy as np
from llvmlite import ir
from numba import njit, types
from numba.core import cgutils
from numba.core.typing.templates import AbstractTemplate, infer_global, signature
from numba.extending import intrinsic, lower_builtin, models, register_model

WIDTH = 8
FAST = {"contract", "reassoc", "nsz", "arcp", "afn"}  # no "nnan": a run that breaks must be seen to break
_FLAGS = ("contract", "reassoc", "nsz", "arcp", "afn")
_DOUBLES = ir.VectorType(ir.DoubleType(), WIDTH)
_INTS = ir.VectorType(ir.IntType(64), WIDTH)


class _Lanes(types.Type):
    def __init__(self) -> None:
        super().__init__(name="Lanes")


class _Flags(types.Type):
    def __init__(self) -> None:
        super().__init__(name="LaneFlags")


lanes_type, flags_type = _Lanes(), _Flags()


@register_model(_Lanes)
class _LanesModel(models.PrimitiveModel):
    def __init__(self, dmm: Any, fe_type: Any) -> None:
        super().__init__(dmm, fe_type, _DOUBLES)


@register_model(_Flags)
class _FlagsModel(models.PrimitiveModel):
    def __init__(self, dmm: Any, fe_type: Any) -> None:
        super().__init__(dmm, fe_type, ir.VectorType(ir.IntType(1), WIDTH))


def _spread(builder: Any, value: Any) -> Any:
    """One double in every lane."""
    one = builder.insert_element(ir.Constant(_DOUBLES, ir.Undefined), value, ir.Constant(ir.IntType(32), 0))
    mask = ir.Constant(ir.VectorType(ir.IntType(32), WIDTH), [0] * WIDTH)
    return builder.shuffle_vector(one, ir.Constant(_DOUBLES, ir.Undefined), mask)


def _as_lanes(context: Any, builder: Any, value: Any, ty: Any) -> Any:
    if ty == lanes_type:
        return value
    return _spread(builder, context.cast(builder, value, ty, types.float64))


def _is_number(ty: Any) -> bool:
    return isinstance(ty, types.Float | types.Integer | types.IntegerLiteral)


def _binary(op: Any, build: Any, result: Any) -> None:
    class Template(AbstractTemplate):
        key = op

        def generic(self, args: Any, kws: Any) -> Any:
            if len(args) == 2 and lanes_type in args:
                pair = [types.float64 if _is_number(a) else a for a in args]
                if all(a in (lanes_type, types.float64) for a in pair):
                    return signature(result, *pair)
            return None

    infer_global(op)(Template)
    for left in (lanes_type, types.float64):
        for right in (lanes_type, types.float64):
            if lanes_type in (left, right):

                def lower(context: Any, builder: Any, sig: Any, args: Any) -> Any:
                    return build(
                        builder,
                        *(_as_lanes(context, builder, a, t) for a, t in zip(args, sig.args, strict=True)),
                    )

                lower_builtin(op, left, right)(lower)


_binary(operator.add, lambda b, x, y: b.fadd(x, y, flags=_FLAGS), lanes_type)
_binary(operator.sub, lambda b, x, y: b.fsub(x, y, flags=_FLAGS), lanes_type)
_binary(operator.mul, lambda b, x, y: b.fmul(x, y, flags=_FLAGS), lanes_type)
_binary(operator.truediv, lambda b, x, y: b.fdiv(x, y, flags=_FLAGS), lanes_type)
for _op, _sign in (
    (operator.gt, ">"),
    (operator.ge, ">="),
    (operator.lt, "<"),
    (operator.le, "<="),
):
    _binary(_op, lambda b, x, y, _s=_sign: b.fcmp_ordered(_s, x, y), flags_type)


@infer_global(operator.neg)
class _Negative(AbstractTemplate):
    key = operator.neg

    def generic(self, args: Any, kws: Any) -> Any:
        return signature(lanes_type, lanes_type) if args == (lanes_type,) else None


@lower_builtin(operator.neg, lanes_type)
def _lower_negative(context: Any, builder: Any, sig: Any, args: Any) -> Any:
    return builder.fneg(args[0])


def _flag_op(op: Any, build: Any) -> None:
    class Template(AbstractTemplate):
        key = op

        def generic(self, args: Any, kws: Any) -> Any:
            return signature(flags_type, *args) if args == (flags_type, flags_type) else None

    infer_global(op)(Template)
    lower_builtin(op, flags_type, flags_type)(lambda c, b, s, a: build(b, *a))


_flag_op(operator.and_, lambda b, x, y: b.and_(x, y))
_flag_op(operator.or_, lambda b, x, y: b.or_(x, y))


def _one_argument(name: str) -> Any:
    """An LLVM routine of one number, for a float or for lanes."""

    def typed(typingctx: Any, x: Any) -> Any:
        ty = types.float64 if _is_number(x) else x

        def codegen(context: Any, builder: Any, sig: Any, args: Any) -> Any:
            value = args[0] if ty == lanes_type else context.cast(builder, args[0], x, ty)
            suffix = f"v{WIDTH}f64" if ty == lanes_type else "f64"
            shape = ir.FunctionType(value.type, [value.type])
            function = cgutils.get_or_insert_function(builder.module, shape, f"llvm.{name}.{suffix}")
            return builder.call(function, [value], fastmath=_FLAGS)

        return ty(x), codegen

    return intrinsic(typed)


sqrt, fabs, floor = _one_argument("sqrt"), _one_argument("fabs"), _one_argument("floor")


@intrinsic
def pick(typingctx: Any, condition: Any, yes: Any, no: Any) -> Any:
    """``yes`` where the condition holds, else ``no``; both are worked out."""
    wide = condition == flags_type
    ty = lanes_type if wide or lanes_type in (yes, no) else types.float64

    def codegen(context: Any, builder: Any, sig: Any, args: Any) -> Any:
        flag, a, b = args
        if ty == lanes_type:
            a = _as_lanes(context, builder, a, yes)
            b = _as_lanes(context, builder, b, no)
        else:
            a = context.cast(builder, a, yes, types.float64)
            b = context.cast(builder, b, no, types.float64)
        return builder.select(flag, a, b)

    return ty(condition, yes, no), codegen


@intrinsic
def anywhere(typingctx: Any, condition: Any) -> Any:
    """Whether the condition holds in any lane."""

    def codegen(context: Any, builder: Any, sig: Any, args: Any) -> Any:
        if condition != flags_type:
            return args[0]
        bits = builder.bitcast(args[0], ir.IntType(WIDTH))
        return builder.icmp_unsigned("!=", bits, ir.Constant(ir.IntType(WIDTH), 0))

    return types.boolean(condition), codegen


@intrinsic
def load(typingctx: Any, array: Any, row: Any) -> Any:
    """The eight values of one row of a C-ordered float array (rows, 8)."""

    def codegen(context: Any, builder: Any, sig: Any, args: Any) -> Any:
        pointer = _row_pointer(context, builder, sig, args)
        value = builder.load(pointer)
        value.align = 8
        return value

    return lanes_type(array, types.intp), codegen


@intrinsic
def store(typingctx: Any, array: Any, row: Any, value: Any) -> Any:
    """Put eight values into one row of a C-ordered float array (rows, 8)."""

    def codegen(context: Any, builder: Any, sig: Any, args: Any) -> Any:
        pointer = _row_pointer(context, builder, sig, args)
        builder.store(_as_lanes(context, builder, args[2], sig.args[2]), pointer).align = 8
        return context.get_dummy_value()

    held = types.float64 if _is_number(value) else value
    return types.none(array, types.intp, held), codegen


def _row_pointer(context: Any, builder: Any, sig: Any, args: Any) -> Any:
    array = context.make_array(sig.args[0])(context, builder, args[0])
    offset = builder.mul(args[1], ir.Constant(args[1].type, WIDTH))
    return builder.bitcast(builder.gep(array.data, [offset]), ir.PointerType(_DOUBLES))


@intrinsic
def gather(typingctx: Any, array: Any, index: Any) -> Any:
    """``array[index]`` lane by lane from a flat C-ordered float array; the index is a whole number held as float."""
    ty = types.float64 if _is_number(index) else index

    def codegen(context: Any, builder: Any, sig: Any, args: Any) -> Any:
        data = context.make_array(sig.args[0])(context, builder, args[0]).data
        i64 = ir.IntType(64)
        if ty != lanes_type:
            return builder.load(builder.gep(data, [builder.fptosi(args[1], i64)]))
        whole = builder.fptosi(args[1], _INTS)
        out = ir.Constant(_DOUBLES, ir.Undefined)
        for lane in range(WIDTH):
            place = ir.Constant(ir.IntType(32), lane)
            out = builder.insert_element(
                out, builder.load(builder.gep(data, [builder.extract_element(whole, place)])), place
            )
        return out

    return ty(array, ty), codegen


@intrinsic
def _split(typingctx: Any, x: Any) -> Any:
    """Exponent and mantissa: x = m 2^e with m between sqrt(1/2) and sqrt(2)."""
    ty = types.float64 if _is_number(x) else x

    def codegen(context: Any, builder: Any, sig: Any, args: Any) -> Any:
        wide = ty == lanes_type
        ints = _INTS if wide else ir.IntType(64)
        doubles = _DOUBLES if wide else ir.DoubleType()

        def whole(n: int) -> Any:
            return ir.Constant(ints, [n] * WIDTH if wide else n)

        i = builder.bitcast(args[0], ints)
        e = builder.ashr(builder.sub(i, whole(0x3FE6A09E667F3BCD)), whole(52))
        m = builder.bitcast(builder.sub(i, builder.shl(e, whole(52))), doubles)
        return cgutils.pack_struct(builder, [builder.sitofp(e, doubles), m])

    return types.UniTuple(ty, 2)(ty), codegen


@intrinsic
def _scale(typingctx: Any, p: Any, n: Any) -> Any:
    """p 2^n for a whole number n held as a float."""
    ty = types.float64 if _is_number(p) else p

    def codegen(context: Any, builder: Any, sig: Any, args: Any) -> Any:
        wide = ty == lanes_type
        ints = _INTS if wide else ir.IntType(64)
        doubles = _DOUBLES if wide else ir.DoubleType()
        shift = ir.Constant(ints, [52] * WIDTH if wide else 52)
        n = builder.shl(builder.fptosi(args[1], ints), shift)
        return builder.bitcast(builder.add(builder.bitcast(args[0], ints), n), doubles)

    return ty(ty, ty), codegen


def law(function: Any) -> Any:
    """Compile a small law so that it is laid open inside its caller, for floats and for lanes alike."""
    return njit(fastmath=FAST, error_model="numpy", forceinline=True)(function)


@law
def log2(x):
    """Logarithm to base 2 of x > 0."""
    e, m = _split(x)
    t = (m - 1.0) / (m + 1.0)
    s = t * t
    return e + t * (
        2.8853900817779268
        + s
        * (
            0.9617966939259756
            + s
            * (
                0.5770780163555854
                + s * (0.41219858311113244 + s * (0.3205988979753252 + s * 0.2623081892525388))
            )
        )
    )


@law
def exp2(x):
    """2 to the power x, for x between -1000 and 1000."""
    n = floor(x + 0.5)
    f = x - n
    p = 1.0 + f * (
        0.6931471805599453
        + f
        * (
            0.24022650695910072
            + f
            * (
                0.05550410866482158
                + f
                * (
                    0.009618129107628477
                    + f * (0.0013333558146428443 + f * (0.00015403530393381608 + f * 1.525273380405984e-05))
                )
            )
        )
    )
    return _scale(p, n)


@law
def power(x, a):
    """x to the power a, for x > 0."""
    return exp2(a * log2(x))


@law
def most(a, b):
    """The greater of two."""
    return pick(a > b, a, b)


@law
def least(a, b):
    """The smaller of two."""
    return pick(a < b, a, b)


@law
def within(x, low, high):
    """x, held between low and high."""
    return least(most(x, low), high)


@law
def smooth(x, low, high):
    """0 below ``low``, 1 above ``high``, and smoothly between."""
    t = within((x - low) / (high - low), 0.0, 1.0)
    return t * t * (3.0 - 2.0 * t)


_TAU = 2.0 * math.pi


@law
def sine(x):
    """Sine of an angle [rad], absolute error under 1e-7."""
    turns = x * (1.0 / _TAU)
    r = (turns - floor(turns + 0.5)) * _TAU  # -pi to pi
    r = pick(r > 0.5 * math.pi, math.pi - r, pick(r < -0.5 * math.pi, -math.pi - r, r))
    s = r * r
    return r * (
        1.0
        + s
        * (-0.16666666666 + s * (0.00833333331 + s * (-0.000198412666 + s * (2.7556e-06 + s * -2.4761e-08))))
    )


@law
def arctan(x):
    """Inverse tangent [rad], absolute error under 4e-8."""
    a = fabs(x)
    big = a > 1.0
    t = pick(big, 1.0 / most(a, 1e-30), a)
    s = t * t
    p = t * (
        0.9999993355757136
        + s
        * (
            -0.3332986077334259
            + s
            * (
                0.19946565520185242
                + s
                * (
                    -0.13908628867550704
                    + s
                    * (
                        0.09642195519925889
                        + s * (-0.05591230128660023 + s * (0.02186293968766924 + s * -0.00405456204582004))
                    )
                )
            )
        )
    )
    p = pick(big, 0.5 * math.pi - p, p)
    return pick(x < 0.0, -p, p)


def as_rows(table: Any) -> Any:
    """A float array (runs, n) as rows of eight lanes (blocks, n, 8); the last block repeats its last run."""
    runs = table.shape[0]
    blocks = -(-runs // WIDTH)
    index = np.minimum(np.arange(blocks * WIDTH), runs - 1)
    return np.ascontiguousarray(table[index].reshape(blocks, WIDTH, -1).transpose(0, 2, 1))
