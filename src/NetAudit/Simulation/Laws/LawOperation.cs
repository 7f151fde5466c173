namespace NetAudit.Simulation.Laws;

/// <summary>
/// Primitive operations of a law. Each has one meaning in <see cref="LawArithmetic"/>, used by the interpreter and by the emitted code
/// alike, so that both give the same bits.
/// </summary>
internal enum LawOperation : byte
{
    // Leaves.
    Literal,
    Constant,
    Input,

    // One operand.
    Negate,
    Exp,
    Log,
    Log10,
    Sqrt,
    Sin,
    Cos,
    Tan,
    Asin,
    Acos,
    Atan,
    Sinh,
    Cosh,
    Tanh,
    Asinh,
    Acosh,
    Atanh,
    Cbrt,
    Abs,
    Sgn,
    Floor,
    Ceiling,
    Truncate,
    Nearest,
    Step,
    Not,
    AwayFromZero,
    ExpOfMinusAbs,

    // Two operands.
    Add,
    Subtract,
    Multiply,
    Divide,
    Power,
    RawPower,
    Less,
    LessOrEqual,
    And,
    Or,
    Equal,
    Min,
    Max,
    Atan2,
    Modulo,
    CopySign,
    SoftRamp,

    // Three operands: condition, value when not zero, value when zero.
    Select,
}
