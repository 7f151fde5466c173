using NetAudit.Diagnosis.Catalogue;
using NetAudit.Diagnosis.Evidence;
using NetAudit.Expectations;

namespace NetAudit.Diagnosis.Search;

/// <summary>
/// Foretells, from one evaluated set, how much each further fault could improve it: a matched filter. To first order a fault is a
/// current between two nodes or a parameter that moves, so its effect on the readings is a known direction of unknown amount; the best
/// amount reduces the squared Mahalanobis length by (w.d)^2 / d.d, with w the whitened residual and d the whitened direction, both with
/// the base's own free values projected out. One pass over all faults costs less than solving one of them.
/// </summary>
internal sealed class ExtensionScreen
{
    private readonly int _nodes;
    private readonly double[] _adjoints;
    private double[] _block = [];
    private double[] _projection = [];

    /// <param name="predictor">The readings.</param>
    /// <param name="nodes">Number of nodes.</param>
    public ExtensionScreen(Predictor predictor, int nodes)
    {
        _nodes = nodes;
        _adjoints = new double[predictor.Readings * nodes];
    }

    /// <summary>Scores every class as an extension of the set that the evaluator has just evaluated.</summary>
    /// <param name="evaluator">In the state of the base.</param>
    /// <param name="classes">The catalogue.</param>
    /// <param name="gains">Foretold gain in log likelihood, nats, by class index.</param>
    public void Score(SetEvaluator evaluator, ReadOnlySpan<FaultClass> classes, Span<double> gains)
    {
        var predictor = evaluator.Predictor;
        var readings = predictor.Readings;
        var parameters = predictor.ParameterColumns;
        var width = parameters + _nodes;
        EnsureSize(readings * width, readings * evaluator.FreeValues);
        // A current through a new path changes levels and resistances too, but not in proportion: known effects speak for those.
        foreach (var scene in predictor.Scenes)
        {
            var rows = _adjoints.AsSpan(scene.First * _nodes, scene.Rows.Length * _nodes);
            var dc = scene.Voltmeters.Length;
            scene.Workspace.Adjoints(scene.Voltmeters, rows[..(dc * _nodes)]);
            rows[(dc * _nodes)..].Clear();
        }
        for (var i = 0; i < readings; i++)
        {
            var row = _block.AsSpan(i * width, width);
            predictor.Raw.Slice(i * predictor.RawWidth, parameters).CopyTo(row);
            _adjoints.AsSpan(i * _nodes, _nodes).CopyTo(row[parameters..]);
        }
        evaluator.Gaussian.Whiten(_block.AsSpan(0, readings * width), width);
        Span<double> residual = stackalloc double[readings];
        evaluator.WhitenedResidual.CopyTo(residual);
        ProjectOut(evaluator, residual, width);
        var volts = predictor.Scenes[0].Workspace.Volts;
        foreach (var fault in classes)
        {
            gains[fault.Index] = Gain(predictor, fault.Direction, residual, width, volts);
        }
    }

    private double Gain(
        Predictor predictor,
        Direction direction,
        ReadOnlySpan<double> residual,
        int width,
        ReadOnlySpan<double> volts
    )
    {
        int plus,
            minus = -1,
            second = -1;
        var sign = direction.Sign;
        if (direction.Parameter >= 0)
        {
            plus = predictor.ColumnOf(direction.Parameter);
            if (plus < 0)
            {
                return 0;
            }
            second =
                direction.SecondParameter >= 0 ? predictor.ColumnOf(direction.SecondParameter) : -1;
        }
        else
        {
            // A current from A to B leaves the circuit at A and enters it at B.
            plus = predictor.ParameterColumns + direction.NodeB;
            minus = predictor.ParameterColumns + direction.NodeA;
            if (sign != 0 && direction.Downhill)
            {
                sign = volts[direction.NodeA] >= volts[direction.NodeB] ? sign : -sign;
            }
        }
        double along = 0,
            square = 0;
        for (var i = 0; i < residual.Length; i++)
        {
            var row = i * width;
            var d = _block[row + plus];
            if (minus >= 0)
            {
                d -= _block[row + minus];
            }
            if (second >= 0)
            {
                d += _block[row + second];
            }
            along += residual[i] * d;
            square += d * d;
        }
        // A direction that no reading sees gains nothing.
        return square < 1e-18 || along * sign < 0 ? 0 : 0.5 * along * along / square;
    }

    /// <summary>Removes from residual and block what the base's own free values can still take up (modified Gram-Schmidt).</summary>
    private void ProjectOut(SetEvaluator evaluator, Span<double> residual, int width)
    {
        var free = evaluator.FreeValues;
        var columns = evaluator.WhitenedFaultColumns;
        Span<double> unit = stackalloc double[residual.Length];
        var along = _projection.AsSpan(0, width);
        for (var a = 0; a < free; a++)
        {
            for (var i = 0; i < unit.Length; i++)
            {
                unit[i] = columns[i * free + a];
            }
            for (var earlier = 0; earlier < a; earlier++)
            {
                var basis = _projection.AsSpan(width + earlier * unit.Length, unit.Length);
                DenseRows.AddScaled(basis, -DenseRows.Dot(basis, unit), unit);
            }
            var norm = Math.Sqrt(DenseRows.Dot(unit, unit));
            if (norm < 1e-9)
            {
                unit.Clear();
            }
            else
            {
                DenseRows.Scale(unit, 1 / norm);
            }
            unit.CopyTo(_projection.AsSpan(width + a * unit.Length, unit.Length));
            DenseRows.AddScaled(unit, -DenseRows.Dot(unit, residual), residual);
            along.Clear();
            for (var i = 0; i < unit.Length; i++)
            {
                DenseRows.AddScaled(_block.AsSpan(i * width, width), unit[i], along);
            }
            for (var i = 0; i < unit.Length; i++)
            {
                var row = _block.AsSpan(i * width, width);
                DenseRows.AddScaled(along, -unit[i], row);
            }
        }
    }

    private void EnsureSize(int block, int basis)
    {
        if (_block.Length < block)
        {
            _block = new double[block];
        }
        var projection = block + basis;
        if (_projection.Length < projection)
        {
            _projection = new double[projection];
        }
    }
}
