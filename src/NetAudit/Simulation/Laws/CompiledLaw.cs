namespace NetAudit.Simulation.Laws;

/// <summary>
/// One step of a tape: <c>cell[Target] = operation(cell[A], cell[B], cell[C])</c>. Cells are numbered: constants, then inputs, then
/// results of steps.
/// </summary>
internal readonly record struct LawStep(LawOperation Operation, int Target, int A, int B, int C);

/// <summary>Emitted machine code of a law.</summary>
internal delegate void LawCode(ref double inputs, ref double constants, ref double results);

/// <summary>
/// The laws of one device and all their partial derivatives as a list of steps, run by interpretation at first and as machine code
/// once it has been run often enough to repay the translation. Both give the same bits. Thread-safe.
/// </summary>
internal sealed class CompiledLaw
{
    // An evaluation by machine code saves about a microsecond; translation costs about a millisecond of compiler time.
    private const int HotAfter = 100;

    private readonly LawStep[] _prologue;
    private readonly LawStep[] _body;
    private readonly int _constantCount;
    private readonly int _cellCount;
    private readonly int[] _results;
    private Lazy<LawCurvature>? _curvature;
    private LawCode? _code;
    private int _runs;

    public CompiledLaw(
        LawStep[] prologue,
        LawStep[] body,
        int rawConstantCount,
        int constantCount,
        (int Cell, double Value)[] literals,
        int inputCount,
        int cellCount,
        int outputCount,
        (int Output, int Input)[] partials,
        int[] results
    )
    {
        _prologue = prologue;
        _body = body;
        RawConstantCount = rawConstantCount;
        _constantCount = constantCount;
        Literals = literals;
        InputCount = inputCount;
        _cellCount = cellCount;
        OutputCount = outputCount;
        Partials = partials;
        _results = results;
    }

    public int InputCount { get; }

    public int OutputCount { get; }

    public int RawConstantCount { get; }

    /// <summary>The partial derivatives that are not identically zero, in the order of the results after the values.</summary>
    public (int Output, int Input)[] Partials { get; }

    public int ResultCount => _results.Length;

    /// <summary>The second derivatives: worked out when they are first asked for.</summary>
    public LawCurvature Curvature =>
        _curvature?.Value
        ?? throw new InvalidOperationException("This law was made without its second derivatives.");

    internal (int Cell, double Value)[] Literals { get; }

    internal ReadOnlySpan<LawStep> Body => _body;

    internal ReadOnlySpan<int> Results => _results;

    internal int ConstantCount => _constantCount;

    internal void SetCurvature(Func<LawCurvature> translate) => _curvature = new(translate);

    /// <summary>Everything that stays the same for given constants: literals, and subexpressions without an input.</summary>
    public double[] Prepare(ReadOnlySpan<double> rawConstants)
    {
        var constants = new double[_constantCount];
        rawConstants.CopyTo(constants);
        foreach (var (cell, value) in Literals)
        {
            constants[cell] = value;
        }
        Run(_prologue, constants);
        return constants;
    }

    /// <summary>
    /// Values, then partial derivatives as listed in <see cref="Partials"/>. Spans have the lengths <see cref="InputCount"/>, that of
    /// the array from <see cref="Prepare"/>, and <see cref="ResultCount"/>.
    /// </summary>
    public void Evaluate(ref double inputs, ref double constants, ref double results)
    {
        if (_code is { } code)
        {
            code(ref inputs, ref constants, ref results);
            return;
        }
        Interpret(ref inputs, ref constants, ref results);
        if (++_runs >= HotAfter)
        {
            _code = LawEmitter.Emit(this);
        }
    }

    internal void Interpret(ref double inputs, ref double constants, ref double results)
    {
        Span<double> cells =
            _cellCount <= 512 ? stackalloc double[_cellCount] : new double[_cellCount];
        System
            .Runtime.InteropServices.MemoryMarshal.CreateSpan(ref constants, _constantCount)
            .CopyTo(cells);
        System
            .Runtime.InteropServices.MemoryMarshal.CreateSpan(ref inputs, InputCount)
            .CopyTo(cells[_constantCount..]);
        Run(_body, cells);
        for (var i = 0; i < _results.Length; i++)
        {
            System.Runtime.CompilerServices.Unsafe.Add(ref results, i) = cells[_results[i]];
        }
    }

    private static void Run(LawStep[] steps, Span<double> cells)
    {
        foreach (ref readonly var step in steps.AsSpan())
        {
            cells[step.Target] = LawArithmetic.Apply(
                step.Operation,
                cells[step.A],
                step.B < 0 ? 0 : cells[step.B],
                step.C < 0 ? 0 : cells[step.C]
            );
        }
    }
}
